/** What went wrong, as the one line that is shown. */
export const lineOf = (why: unknown): string => (why instanceof Error ? why.message : String(why));
