import type { LaneChord } from '../move/request';
import { barSpans, beatTicks, meterTicks } from '../phrase/time';
import type { Meter, Phrase } from '../phrase/types';
import { type Chord, shapeOf, tonesOf } from '../theory/chord-model';
import { chordSpans, spanAt } from '../understand/owner';

/** What a phrase hears in a chord: chords of one family take the same phrases (common practice). */
export type Family = 'dominant' | 'major' | 'minor' | 'diminished' | 'none';

export function familyOf(chord: LaneChord): Family {
  if (chord === null) return 'none';
  const { third, fifth, seventh } = shapeOf(tonesOf(chord));
  if (third === 'minor') return fifth === -1 ? 'diminished' : 'minor';
  if (third === 'major' || third === 'none') return seventh === -1 ? 'dominant' : 'major';
  return seventh === -1 ? 'dominant' : 'none';
}

/** The family under every beat of the full bars of a phrase; by its key where it has no lane. */
export function familiesOfPhrase(p: Phrase): readonly Family[] {
  const spans = chordSpans(p);
  const byKey = ({ major: 'major', minor: 'minor', blues: 'dominant' } as const)[p.key.mode];
  return barSpans(p)
    .filter((b) => b.number > 0)
    .flatMap(({ bar, start }) =>
      beatsOf(bar.meter).map((at) => {
        const span = spanAt(spans, start + at);
        return span === null ? byKey : familyOf(span.chord);
      }),
    );
}

/** The family under every beat of bars whose chords share their beats. */
export function familiesOfBars(
  bars: readonly (readonly LaneChord[])[],
  meter: Meter,
): readonly Family[] {
  const families = new Map<Chord, Family>();
  const of = (c: LaneChord) => {
    if (c === null) return 'none';
    const known = families.get(c) ?? familyOf(c);
    families.set(c, known);
    return known;
  };
  return bars.flatMap((chords) => {
    const beats = beatsOf(meter);
    return beats.map((_, i) => of(chords[Math.floor((i * chords.length) / beats.length)] ?? null));
  });
}

function beatsOf(meter: Meter): readonly number[] {
  const beat = beatTicks(meter);
  return Array.from(
    { length: Math.max(1, Math.round(meterTicks(meter) / beat)) },
    (_, i) => i * beat,
  );
}
