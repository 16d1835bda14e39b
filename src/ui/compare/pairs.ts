import { barSpans, positionOf } from '../../core/phrase/time';
import { beatPlaceOf } from '../../core/phrase/time-words';
import type { Phrase, Ticks } from '../../core/phrase/types';
import { type NoteAt, notesOf } from '../../core/phrase/walk';
import { barName, beatName, capital } from '../shared/words';

/** Two notes that answer each other, or one that nothing answers. */
export interface NotePair {
  /** `Bar 2, beat 1 and`: of the upper one where there are two. */
  readonly place: string;
  readonly upper: NoteAt | null;
  readonly lower: NoteAt | null;
}

interface Moment {
  readonly place: string;
  readonly bar: number;
  /** Ticks from the bar line. */
  readonly from: Ticks;
  readonly upper: NoteAt[];
  readonly lower: NoteAt[];
}

/** Every note of either phrase once, in order of bar and beat. */
export function pairsOf(upper: Phrase, lower: Phrase): readonly NotePair[] {
  const moments = momentsOf(upper, lower);
  const found: (NotePair & { readonly bar: number; readonly from: Ticks })[] = [];
  const bars = new Map<number, { upper: Lone[]; lower: Lone[] }>();
  for (const m of moments) {
    const { bar, from, place } = m;
    const left = bars.get(bar) ?? { upper: [], lower: [] };
    bars.set(bar, left);
    const { pairs, rest } = match(m.upper, m.lower, isSameNote, () => true);
    for (const [x, y] of pairs) found.push({ bar, from, place, upper: x, lower: y });
    for (const at of rest[0]) left.upper.push({ at, bar, from, place });
    for (const at of rest[1]) left.lower.push({ at, bar, from, place });
  }
  for (const left of bars.values()) {
    const { pairs, rest } = match(
      left.upper,
      left.lower,
      (x, y) => isSameNote(x.at, y.at),
      (x, y) => isSamePitch(x.at, y.at),
    );
    for (const [x, y] of pairs) found.push({ ...placeOf(x), upper: x.at, lower: y.at });
    for (const x of rest[0]) found.push({ ...placeOf(x), upper: x.at, lower: null });
    for (const y of rest[1]) found.push({ ...placeOf(y), upper: null, lower: y.at });
  }
  return found.sort((x, y) => x.bar - y.bar || x.from - y.from);
}

/** A note to which nothing answers at its moment. */
interface Lone extends Omit<Moment, 'upper' | 'lower'> {
  readonly at: NoteAt;
}

const placeOf = ({ bar, from, place }: Lone) => ({ bar, from, place });

function isSameNote(x: NoteAt, y: NoteAt): boolean {
  return x.note.id === y.note.id && x.voice === y.voice;
}

function isSamePitch({ note: x }: NoteAt, { note: y }: NoteAt): boolean {
  if (x.kind === 'dead' || y.kind === 'dead') return x.kind === y.kind;
  const [p, q] = [x.pitch, y.pitch];
  return p.letter === q.letter && p.alter === q.alter && p.octave === q.octave;
}

/** Pairs by the first rule, then what is left by the second, each in order. */
function match<T>(
  upper: readonly T[],
  lower: readonly T[],
  ...rules: readonly ((x: T, y: T) => boolean)[]
): { readonly pairs: readonly (readonly [T, T])[]; readonly rest: readonly [T[], T[]] } {
  const pairs: (readonly [T, T])[] = [];
  const left = [...lower];
  let open = [...upper];
  for (const fits of rules) {
    open = open.filter((x) => {
      const k = left.findIndex((y) => fits(x, y));
      if (k >= 0) pairs.push([x, left.splice(k, 1)[0]!]);
      return k < 0;
    });
  }
  return { pairs, rest: [open, left] };
}

/** Every moment of either phrase, in order of bar and beat. */
function momentsOf(upper: Phrase, lower: Phrase): readonly Moment[] {
  const moments = new Map<string, Moment>();
  const collect = (p: Phrase, side: 'upper' | 'lower') => {
    const spans = barSpans(p);
    for (const at of notesOf(p)) {
      const { bar, beat } = positionOf(p, at.onset);
      const place = capital(`${barName(bar)}, beat ${beatPlaceOf(p, at.onset)}`);
      // The same moment under another metre may be called otherwise.
      const key = `${bar} ${beatName(beat)}`;
      const from = at.onset - spans.find((s) => s.number === bar)!.start;
      const moment = moments.get(key) ?? { place, bar, from, upper: [], lower: [] };
      moments.set(key, moment);
      moment[side].push(at);
    }
  };
  collect(upper, 'upper');
  collect(lower, 'lower');
  return [...moments.values()].sort((x, y) => x.bar - y.bar || x.from - y.from);
}
