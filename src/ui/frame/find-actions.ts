import type { Action } from './actions';

/**
 * The actions that have every word typed in their title, group or other words. Those of which the
 * title has words that begin so come first, then those of which other words do, then those that have
 * them within words; what is so already comes last. Groups stay together, the group of the best
 * first, as they are shown.
 */
export function findActions(actions: readonly Action[], typed: string): readonly Action[] {
  const words = wordsOf(typed);
  const some = words.some((w) => w !== '');
  const ranked = actions.flatMap((action) => {
    const rank = rankOf(action, words);
    if (rank !== null) {
      const behind = some && action.so?.() === true ? SO : away(action, words);
      return [{ action, rank: rank + behind }];
    }
    const told = some ? toldMore(action, typed.trim()) : null;
    return told === null ? [] : [told];
  });
  ranked.sort((a, b) => a.rank - b.rank);
  const groups = [...new Set(ranked.map((r) => r.action.group))];
  return groups.flatMap((g) => ranked.flatMap((r) => (r.action.group === g ? [r.action] : [])));
}

/**
 * What was found with what can be done now before what cannot; groups stay together, the group of the
 * first that can be done first. What only has the letters within its words stays behind all that has
 * the words, so that Enter never does something else than was asked for, but says why it cannot be done:
 * "begin the repeat" is not "neither begin nor end a repeat".
 */
export function possibleFirst(
  found: readonly Action[],
  can: (a: Action) => boolean,
  typed = '',
): readonly Action[] {
  const words = wordsOf(typed);
  const far = (a: Action) => (rankOf(a, words) ?? UNNAMED) >= WITHIN;
  const place = (a: Action) => (far(a) ? 2 : 0) + (can(a) ? 0 : 1);
  const ordered = [...found].sort((a, b) => place(a) - place(b));
  const groups = [...new Set(ordered.map((a) => a.group))];
  return groups.flatMap((g) => ordered.filter((a) => a.group === g));
}

/** The letters stand within words from this rank on. */
const WITHIN = 2;

function wordsOf(typed: string): readonly string[] {
  return typed.toLowerCase().trim().split(/\s+/u);
}

/** Whoever writes and asks for an ending means that of a repeat, and not to go and vary the phrase. */
function away(a: Action, words: readonly string[]): number {
  const called = a.title.toLowerCase().startsWith(words[0]!);
  return a.leaves === true && !called ? AWAY : 0;
}

/** Behind the title and the other words of what is done here, before letters within a word. */
const AWAY = 1.5;

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

/** How well an action goes with what was typed, the least the best; null where it does not. */
function rankOf(a: Action, words: readonly string[]): number | null {
  const title = (a.find ?? a.title).toLowerCase();
  const all = `${title} ${a.group} ${a.words ?? ''}`.toLowerCase();
  if (!words.every((w) => all.includes(w))) return null;
  // Several words as they stand at its head are its name: 'move it', not 'Keep it … in every move'.
  if (words.length > 1 && title.startsWith(words.join(' '))) return -1;
  const begins = (text: string) => {
    const begun = text.split(/\s+/u);
    return words.every((w) => begun.some((t) => t.startsWith(w)));
  };
  if (begins(title)) return 0;
  // A word of its own, wherever it stands, before letters within another: metre, not millimetres.
  if (begins(`${title} ${(a.words ?? '').toLowerCase()}`)) return 1;
  return words.every((w) => title.includes(w)) ? 2 : 3;
}
