/** The library as a page found it when it opened. */
export interface Seen {
  readonly state: string;
  /** What the browser did to the library; null for nothing. */
  readonly mishap: string | null;
  /** What was shown of the list before the library was open: nothing, or whether it was right. */
  readonly early: 'nothing' | 'right' | 'wrong';
  /** Keys of damaged records. */
  readonly problems: readonly string[];
  readonly phrases: readonly {
    readonly id: string;
    readonly revision: number;
    readonly title: string;
    /** Whether the long text belongs to the title, so that no mixture of two writes passes. */
    readonly whole: boolean;
  }[];
}

export type Message =
  | { readonly kind: 'opened'; readonly seen: Seen }
  /** The library said 'saved'. */
  | {
      readonly kind: 'saved';
      readonly id: string;
      readonly revision: number;
      readonly title: string;
    }
  /** So many phrases of an older program lie in the database, under ids that begin with `old-`. */
  | { readonly kind: 'filled'; readonly count: number }
  /** The library said 'done' of a removal; nothing brings it back. */
  | { readonly kind: 'gone'; readonly id: string }
  /** Something happened that only a fault of the program explains. */
  | { readonly kind: 'broken'; readonly why: string };

/** What a page sends. */
export interface Letter {
  readonly session: number;
  readonly messages: readonly Message[];
}

/** Ways in which what is only there to open sooner is damaged. */
export const DAMAGE = ['row', 'row gone', 'rows gone', 'front', 'facts'] as const;
