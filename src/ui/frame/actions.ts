/**
 * Something that can be done here, in a player's words. Buttons, keys and the list of everything
 * that can be done run the same function.
 */
export interface Action {
  /** Unique among what can be done at one time: `library.import`. */
  readonly id: string;
  /** Begins with a verb: 'Bring phrases in from files'. */
  readonly title: string;
  /** What it is found by instead of its title: undoing a thing is not the thing. */
  readonly find?: string;
  /** What it belongs to, a heading in the list: 'Library', 'This phrase'. */
  readonly group: string;
  /** Other words somebody may look for. */
  readonly words?: string;
  /** It leads to another page: listed behind what is done on this one, unless it is called by its first word. */
  readonly leaves?: true;
  /** The key that does it, as `keyName` writes it: `Ctrl+.`. Only with a modifier or a function key. */
  readonly key?: string;
  /** A key that is heard elsewhere, as it is shown: on the score, `b`. */
  readonly shownKey?: string;
  /** Why it cannot be done just now; it is then listed with the reason, and does nothing. */
  readonly blocked?: string;
  /** The same, found out when the list is shown; null where it can be done. */
  readonly why?: () => string | null;
  /** It is so already: listed behind what would change something. */
  readonly so?: () => boolean;
  /**
   * The same, told more than its name: `tempo 96`. Null where what was typed is nothing for it.
   * @param rest What was typed behind the words it was found by; all of it where it was not named.
   */
  readonly told?: (rest: string, named: boolean) => Action | null;
  readonly run: () => void;
}

/** The one table of what can be done at this moment: each page puts its actions in while it is shown. */
export interface ActionTable {
  readonly subscribe: (changed: () => void) => () => void;
  readonly list: () => readonly Action[];
  /** Puts actions in; the function returned takes them out. */
  readonly add: (actions: readonly Action[]) => () => void;
}

/** An empty table; the app has one. */
export function createActionTable(): ActionTable {
  const sets = new Set<readonly Action[]>();
  const listeners = new Set<() => void>();
  let all: readonly Action[] = [];
  const update = () => {
    // What was put in last comes first: the page before the frame.
    all = [...sets].reverse().flat();
    for (const changed of listeners) changed();
  };
  return {
    subscribe: (changed) => {
      listeners.add(changed);
      return () => listeners.delete(changed);
    },
    list: () => all,
    add: (actions) => {
      // A set of its own, so that the same list put in twice is taken out once.
      const own = [...actions];
      sets.add(own);
      update();
      return () => {
        sets.delete(own);
        update();
      };
    },
  };
}

/** What `keyName` looks at; a `KeyboardEvent` has it. */
export interface Stroke {
  readonly key: string;
  readonly ctrlKey: boolean;
  readonly metaKey: boolean;
  readonly altKey: boolean;
  readonly shiftKey: boolean;
}

/** `Ctrl+Shift+E`; the command key of a Mac counts as Ctrl. Letters in upper case. */
export function keyName(e: Stroke): string {
  const key = e.key.length === 1 ? e.key.toUpperCase() : e.key;
  const parts = [
    e.ctrlKey || e.metaKey ? 'Ctrl' : '',
    e.altKey ? 'Alt' : '',
    e.shiftKey ? 'Shift' : '',
    key,
  ];
  return parts.filter((p) => p !== '').join('+');
}
