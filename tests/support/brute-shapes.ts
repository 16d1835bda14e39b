/**
 * Shapes of a chord by trying every fret on every set of strings, with nothing of the program: pitch
 * classes in semitones over the root, the neck as MIDI numbers.
 */
export interface BruteChord {
  readonly symbol: string;
  /** Of the root, C = 0. */
  readonly root: number;
  /** Semitones over the root of everything the symbol contains. */
  readonly tones: readonly number[];
  /** Of its triad and of root, third, seventh or sixth; null where it has none. */
  readonly triad: readonly number[] | null;
  readonly shell: readonly number[] | null;
}

/** Twelve qualities in semitones, as handbooks have them (common practice). */
export const QUALITIES: readonly Omit<BruteChord, 'root'>[] = [
  { symbol: '', tones: [0, 4, 7], triad: [0, 4, 7], shell: null },
  { symbol: 'm', tones: [0, 3, 7], triad: [0, 3, 7], shell: null },
  { symbol: 'dim', tones: [0, 3, 6], triad: [0, 3, 6], shell: null },
  { symbol: 'aug', tones: [0, 4, 8], triad: [0, 4, 8], shell: null },
  { symbol: 'sus4', tones: [0, 5, 7], triad: [0, 5, 7], shell: null },
  { symbol: '7', tones: [0, 4, 7, 10], triad: [0, 4, 7], shell: [0, 4, 10] },
  { symbol: 'maj7', tones: [0, 4, 7, 11], triad: [0, 4, 7], shell: [0, 4, 11] },
  { symbol: 'm7', tones: [0, 3, 7, 10], triad: [0, 3, 7], shell: [0, 3, 10] },
  { symbol: 'm7b5', tones: [0, 3, 6, 10], triad: [0, 3, 6], shell: [0, 3, 10] },
  { symbol: 'dim7', tones: [0, 3, 6, 9], triad: [0, 3, 6], shell: [0, 3, 9] },
  { symbol: '6', tones: [0, 4, 7, 9], triad: [0, 4, 7], shell: [0, 4, 9] },
  { symbol: 'm6', tones: [0, 3, 7, 9], triad: [0, 3, 7], shell: [0, 3, 9] },
];

export type BruteKind = 'double stop' | 'triad' | 'shell' | 'four-note';

/** The pitch classes of some tones, root 0, ascending, as text. */
const bag = (list: readonly number[]) => [...list].sort((a, b) => a - b).join();

function isKind(kind: BruteKind, c: BruteChord, over: readonly number[], lowest: number): boolean {
  switch (kind) {
    case 'double stop':
      return over[0] !== over[1] && over.every((t) => c.tones.includes(t));
    case 'triad':
      return c.triad !== null && bag(over) === bag(c.triad);
    case 'shell':
      return c.shell !== null && bag(over) === bag(c.shell) && lowest === 0;
    case 'four-note':
      return c.tones.length === 4
        ? bag(over) === bag(c.tones)
        : over.every((t) => c.tones.includes(t)) && new Set(over).size === 3;
  }
}

/** mm from fret a to fret b: L · (2^(−a/12) − 2^(−b/12)). */
const millimetres = (length: number, a: number, b: number) =>
  length * (2 ** (-a / 12) - 2 ** (-b / 12));

/** Every shape as `string/fret …`, sorted. */
export function bruteShapes(
  open: readonly number[],
  frets: number,
  length: number,
  kind: BruteKind,
  c: BruteChord,
): readonly string[] {
  const count = kind === 'double stop' ? 2 : kind === 'four-note' ? 4 : 3;
  const found: string[] = [];
  const walk = (string: number, taken: readonly (readonly [number, number])[]): void => {
    if (taken.length === count) {
      const strings = taken.map(([s]) => s);
      if (strings.at(-1)! - strings[0]! > count) return;
      const pressed = taken.map(([, f]) => f).filter((f) => f > 0);
      const hi = Math.max(0, ...pressed);
      const lo = Math.min(hi, ...pressed);
      if (hi - lo > 4 || millimetres(length, lo, hi) > 130) return;
      if (pressed.length < count && hi > 4) return;
      const midis = taken.map(([s, f]) => open[s - 1]! + f);
      const over = midis.map((m) => (((m - c.root) % 12) + 12) % 12);
      const lowest = over[midis.indexOf(Math.min(...midis))]!;
      if (isKind(kind, c, over, lowest)) found.push(taken.map(([s, f]) => `${s}/${f}`).join(' '));
      return;
    }
    if (string > open.length) return;
    walk(string + 1, taken);
    for (let fret = 0; fret <= frets; fret++) {
      // Only tones of the chord, and no wider than a hand, so that the tree stays small.
      const over = (((open[string - 1]! + fret - c.root) % 12) + 12) % 12;
      if (c.tones.includes(over)) walk(string + 1, [...taken, [string, fret]]);
    }
  };
  walk(1, []);
  return found.sort();
}
