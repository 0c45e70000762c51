import type { Trial } from "../../domain/records";
import { readTrialsOfStone, useView, type View } from "../../sync/views";
import { isIn, type StonePage } from "./readStone";

export interface Others {
  readonly trials: readonly Trial[];
  /** The phone could not ask for them just now. */
  readonly away: boolean;
}

type Answer = View<{ readonly items: readonly Trial[] }>;
const none: Answer = { kind: "here", value: { items: [] } };

/**
 * Other testers' trials of this stone. A dealer's phone holds them; a tester's never does, so they are asked for
 * once an own trial is in, and the service decides. They are shown and forgotten.
 */
export function useOthers(stoneId: string, page: StonePage | undefined): Others {
  const nSent = page === undefined || page.mayDeal ? 0 : page.ownTrials.filter(isIn).length;
  const asked = useView<{ readonly items: readonly Trial[] }>(
    async () => (nSent === 0 ? none : readTrialsOfStone(stoneId)), [stoneId, nSent]);
  const all = page?.mayDeal === true ? page.trials : asked?.kind === "here" ? asked.value.items : [];
  return {
    trials: all.filter((trial) => trial.created_by !== page?.member && trial.withdrawn === null && trial.excluded === null),
    away: asked?.kind === "no_network" || asked?.kind === "trouble",
  };
}
