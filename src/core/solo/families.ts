import type { LaneChord } from '../move/request';
import { barSpans, beatTicks, meterTicks } from '../phrase/time';
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
  const families = barSpans(p)
    .filter((b) => b.number > 0)
    .flatMap(({ bar, start }) =>
      beatsOf(bar.meter).map((at) => {
        const span = spanAt(spans, start + at);
        return span === null ? byKey : span.chord === null ? '-' : familyOf(span.chord);
      }),
    )
    .join('');
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
  const beats = beatsOf(meter);
  return bars
    .flatMap((chords) =>
      beats.map((_, i) => of(chords[Math.floor((i * chords.length) / beats.length)] ?? null)),
    )
    .join('');
}

/** Share of the beats that have the same family. */
export function alike(a: string, b: string): number {
  let same = 0;
  for (let i = 0; i < a.length; i++) if (a[i] === b[i]) same++;
  return a.length === 0 ? 0 : same / a.length;
}

function beatsOf(meter: Meter): readonly number[] {
  const beat = beatTicks(meter);
  return Array.from(
    { length: Math.max(1, Math.round(meterTicks(meter) / beat)) },
    (_, i) => i * beat,
  );
}
