/** What cannot be computed honestly is refused, with the field's path and what to do about it. */

export interface FieldFault {
  readonly field: string;
  readonly message: string;
}

/** The twin of the service's `Invalid`: the same paths, the same sentences. */
export class Refused extends Error {
  override readonly name = "Refused";
  readonly errors: readonly FieldFault[];

  constructor(detail: string, errors: readonly FieldFault[]) {
    super(detail);
    this.errors = errors;
  }
}

export const refuse = (field: string, message: string): Refused => new Refused(message, [{ field, message }]);
