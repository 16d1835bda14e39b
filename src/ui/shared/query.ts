/** What an address says after its `?`; each name once. */
export type Query = Readonly<Record<string, string>>;
