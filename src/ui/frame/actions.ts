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

/**
 * The actions that have every word typed in their title, group or other words. Those of which the
 * title has words that begin so come first, then those of which other words do, then those that have
 * them within words; what is so already comes last. Groups stay together, the group of the best
 * first, as they are shown.
 */
export function findActions(actions: readonly Action[], typed: string): readonly Action[] {
  const words = typed.toLowerCase().trim().split(/\s+/u);
  const some = words.some((w) => w !== '');
  const ranked = actions.flatMap((action) => {
    const rank = rankOf(action, words);
    if (rank !== null) return [{ action, rank: rank + (some && action.so?.() === true ? SO : 0) }];
    const told = some ? toldMore(action, typed.trim()) : null;
    return told === null ? [] : [told];
  });
  ranked.sort((a, b) => a.rank - b.rank);
  const groups = [...new Set(ranked.map((r) => r.action.group))];
  return groups.flatMap((g) => ranked.flatMap((r) => (r.action.group === g ? [r.action] : [])));
}

/**
 * What was found with what can be done now before what cannot; groups stay together, the group of the
 * first that can be done first.
 */
export function possibleFirst(
  found: readonly Action[],
  can: (a: Action) => boolean,
): readonly Action[] {
  const ordered = [...found.filter(can), ...found.filter((a) => !can(a))];
  const groups = [...new Set(ordered.map((a) => a.group))];
  return groups.flatMap((g) => ordered.filter((a) => a.group === g));
}

/** What is so already comes behind everything else that was found. */
const SO = 10;

/** An action that is named by the first words and told the rest, or told all of it without a name. */
function toldMore(a: Action, typed: string): { action: Action; rank: number } | null {
  if (a.told === undefined) return null;
  const words = typed.split(/\s+/u);
  for (let named = words.length - 1; named > 0; named--) {
    const lower = words.slice(0, named).map((w) => w.toLowerCase());
    const rank = rankOf(a, lower);
    if (rank === null) continue;
    const action = a.told(words.slice(named).join(' '), true);
    if (action !== null) return { action, rank };
  }
  const action = a.told(typed, false);
  return action === null ? null : { action, rank: UNNAMED };
}

/** Behind what was named, before what is so already. */
const UNNAMED = 4;

/** How well an action goes with what was typed, 0 the best; null where it does not. */
function rankOf(a: Action, words: readonly string[]): number | null {
  const title = (a.find ?? a.title).toLowerCase();
  const all = `${title} ${a.group} ${a.words ?? ''}`.toLowerCase();
  if (!words.every((w) => all.includes(w))) return null;
  const begins = (text: string) => {
    const begun = text.split(/\s+/u);
    return words.every((w) => begun.some((t) => t.startsWith(w)));
  };
  if (begins(title)) return 0;
  // A word of its own, wherever it stands, before letters within another: metre, not millimetres.
  if (begins(`${title} ${(a.words ?? '').toLowerCase()}`)) return 1;
  return words.every((w) => title.includes(w)) ? 2 : 3;
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
