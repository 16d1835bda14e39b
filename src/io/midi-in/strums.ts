import type { PartNote } from './parts';

/** From string to string a strum takes at most so long, in seconds, and so long in all (ours). */
const STEP = 0.03;
const WHOLE = 0.09;
/** Strings of a strum end together within so many seconds. */
const ENDS = 0.04;

/** A note with the way in which it was strummed, where it was. */
export interface StrummedNote extends PartNote {
  readonly strum?: 'down' | 'up';
}

/**
 * Strings that are struck shortly one after the other and end together are one chord, at the moment of its
 * first: a strum where the file says which strings, and they go one way.
 * @param meant Whether a moment is where a program wrote it.
 */
export function together(
  notes: readonly PartNote[],
  secondsPerTick: number,
  meant: (at: number) => boolean,
): readonly StrummedNote[] {
  const out: StrummedNote[] = [];
  for (let i = 0; i < notes.length; ) {
    const first = notes[i]!;
    let k = i + 1;
    while (k < notes.length) {
      const n = notes[k]!;
      const step = (n.at - notes[k - 1]!.at) * secondsPerTick;
      const all = (n.at - first.at) * secondsPerTick;
      const ends = Math.abs(n.end - first.end) * secondsPerTick;
      const lane = (x: PartNote) => x.string ?? x.midi;
      const other = notes.slice(i, k).every((m) => lane(m) !== lane(n));
      if (step > STEP || all > WHOLE || ends > ENDS || !other) break;
      // What lies on the grid itself is written there.
      if (step > 0 && meant(n.at)) break;
      k += 1;
    }
    const group = notes.slice(i, k);
    const strum = strumOf(group);
    for (const n of group) {
      out.push({ ...n, at: first.at, ...(strum === null ? {} : { strum }) });
    }
    i = k;
  }
  return out;
}

function strumOf(group: readonly PartNote[]): 'down' | 'up' | null {
  if (group.length < 2 || group.at(-1)!.at === group[0]!.at) return null;
  const strings = group.map((n) => n.string);
  const goes = (test: (a: number, b: number) => boolean) =>
    strings.every((s, i) => s !== null && (i === 0 || test(strings[i - 1]!, s)));
  if (goes((a, b) => b < a)) return 'down';
  return goes((a, b) => b > a) ? 'up' : null;
}
