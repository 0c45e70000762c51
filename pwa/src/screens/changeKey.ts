/** The draft that changes a record which is there already; one per record, apart from the drafts of new ones. */
export const changeKey = (recordId: string): string => `change:${recordId}`;
