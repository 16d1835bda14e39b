import type { LaneChord } from '../move/request';
import { beatTicks, meterTicks } from '../phrase/time';
import type { Meter, Phrase } from '../phrase/types';
import { type Family, familyOf } from '../theory/chord-family';
import type { Chord } from '../theory/chord-model';
import { chordSpans, spanAt } from '../understand/owner';

const known = new WeakMap<Phrase, string>();

/** The family under every beat of the full bars of a phrase; by its key where it has no lane. */
export function familiesOfPhrase(p: Phrase): string {
  const found = known.get(p);
  if (found !== undefined) return found;
  const spans = chordSpans(p);
  const byKey = ({ major: 'M', minor: 'm', blues: '7' } as const)[p.key.mode];
  const of = spans.map(({ chord }) => (chord === null ? '-' : familyOf(chord)));
  let families = '';
  // Written out, as in `usable.ts`: asked once of every phrase in the library.
  let start = p.pickup;
  for (const { meter } of p.bars) {
    const beat = beatTicks(meter);
    for (let i = 0; i < beatsIn(meter); i++) {
      const span = spanAt(spans, start + i * beat);
      families += span === null ? byKey : of[span.index]!;
    }
    start += meterTicks(meter);
  }
  known.set(p, families);
  return families;
}

/** The family under every beat of bars whose chords share their beats. */
export function familiesOfBars(bars: readonly (readonly LaneChord[])[], meter: Meter): string {
  const families = new Map<Chord, Family>();
  const of = (c: LaneChord) => {
    if (c === null) return '-';
    const family = families.get(c) ?? familyOf(c);
    families.set(c, family);
    return family;
  };
  const beats = beatsIn(meter);
  let all = '';
  for (const chords of bars) {
    for (let i = 0; i < beats; i++) {
      all += of(chords[Math.floor((i * chords.length) / beats)] ?? null);
    }
  }
  return all;
}

/** Share of the beats that have the same family. */
export function alike(a: string, b: string): number {
  let same = 0;
  for (let i = 0; i < a.length; i++) if (a[i] === b[i]) same++;
  return a.length === 0 ? 0 : same / a.length;
}

const beatsIn = (meter: Meter): number =>
  Math.max(1, Math.round(meterTicks(meter) / beatTicks(meter)));
