import type { MoveRequest } from '../move/request';
import { barSpans, meterTicks } from '../phrase/time';
import type { NoteId, Phrase, PhraseEvent, PhrasePart, Ticks, Voice } from '../phrase/types';
import { endOf, notesOf } from '../phrase/walk';
import { fail, ok, type Result } from '../result';
import {
  cutAt,
  type LaneBars,
  laidPrint,
  laneBars,
  type MomentMusic,
  moveAt,
  movedAt,
  musicOf,
  musicPrint,
  requestsTo,
  transposed,
} from './laid';

/** A part beside what its source gives at its place. Ids and ticks are those of the source. */
export interface PartFound {
  readonly part: PhrasePart;
  readonly source: Phrase;
  /** Tick of the whole at which the source begins. */
  readonly zero: Ticks;
  /** The first and the last bar of the whole that it stands on. */
  readonly firstBar: number;
  readonly lastBar: number;
  readonly bars: LaneBars;
  /** The whole source as it was moved here, and what was taken of it. */
  readonly moved: Phrase;
  readonly given: Phrase['voices'];
  /** What stands there now; notes that were written since have the ids they have in the whole. */
  readonly now: Phrase['voices'];
  readonly edited: boolean;
  /** 'free' in solos from before the octaves that joins are weighed by went before a phrase's shape. */
  readonly octaves: 'kept' | 'free';
}

/**
 * Looks at a part of a phrase beside its source: whether it is still what the source gives over these
 * chords, or what it has become. Refused with a reason where it is not certain what was changed.
 */
export function findPart(whole: Phrase, part: PhrasePart, source: Phrase): Result<PartFound> {
  const place = standsAt(whole, part, source);
  if (!place.ok) return place;
  const { zero, firstBar, bars } = place.value;
  const now = takenFrom(whole, part, source, zero);
  const here =
    laidBy('kept', source, whole, bars, part) ?? laidBy('free', source, whole, bars, part);
  if (!now.ok) return here === null ? fail({ message: CHANGED }) : now;
  const stands = { bars, now: now.value };
  const laid =
    here === null
      ? laidElsewhere(source, whole, { ...stands, part })
      : inItsOctave(source, whole, { ...stands, here });
  if (laid === null) return fail({ message: CHANGED });
  const { octaves, moved, given } = laid;
  const lastBar = firstBar + source.bars.length - 1;
  const edited = JSON.stringify(musicOf(given)) !== JSON.stringify(musicOf(now.value));
  return ok({
    ...{ part: laid.part, source, zero, firstBar, lastBar, bars, moved, given },
    ...{ octaves, now: now.value, edited },
  });
}

interface LaidBy extends Pick<PartFound, 'part' | 'octaves' | 'moved' | 'given'> {}

/** What a source gives, where that is what was laid; else null. */
function laidBy(
  octaves: PartFound['octaves'],
  source: Phrase,
  whole: Phrase,
  bars: LaneBars,
  part: PhrasePart,
): LaidBy | null {
  const laid = layPart(source, whole, bars, part, octaves);
  if (!laid.ok || laidPrint(laid.value.given) !== part.laid) return null;
  return { part, octaves, ...laid.value };
}

/** What was laid, in the octave to which most of it went since: an octave is where a part lies, and no edit of it. */
function inItsOctave(
  source: Phrase,
  whole: Phrase,
  { bars, now, here }: Pick<PartFound, 'bars' | 'now'> & { readonly here: LaidBy },
): LaidBy {
  const { part, octaves } = here;
  const is = shiftBetween(musicOf(here.given), musicOf(now));
  if (is === null || is === 0 || is % 12 !== 0) return here;
  const there = { ...part, octaves: part.octaves + is / 12 };
  const made = layPart(source, whole, bars, there, octaves);
  return made.ok ? { part: there, octaves, ...made.value } : here;
}

/** So many semitones a whole is looked for from where a part was laid. */
const FARTHEST = 24;

/**
 * What a source gives to a whole that was moved to another key since, with every interval: what was laid is the
 * same so many semitones away. The part says then in which octave it stands now. Null where that is not so; where it
 * stands as high as it was laid, its source is another one.
 */
function laidElsewhere(
  source: Phrase,
  whole: Phrase,
  { bars, part, now }: Pick<PartFound, 'bars' | 'part' | 'now'>,
): LaidBy | null {
  const stands = musicOf(now);
  // In another key it may not go as high or as low as it was laid.
  for (const by of [0, -1, 1]) {
    const near = { ...part, octaves: part.octaves + by };
    for (const octaves of ['kept', 'free'] as const) {
      const laid = layPart(source, whole, bars, near, octaves);
      if (!laid.ok) continue;
      const music = musicOf(laid.value.given);
      const was = shiftTo(part.laid, music);
      const is = shiftBetween(music, stands);
      if (was === null || is === null || is === was || is % 12 !== 0) continue;
      const there = { ...part, octaves: near.octaves + is / 12 };
      const made = layPart(source, whole, bars, there, octaves);
      if (made.ok) return { part: there, octaves, ...made.value };
    }
  }
  return null;
}

/** Semitones from music to what has a print; null where none within reach has it. */
function shiftTo(print: number, music: readonly MomentMusic[]): number | null {
  for (let by = -FARTHEST; by <= FARTHEST; by++)
    if (musicPrint(transposed(music, by)) === print) return by;
  return null;
}

/** Semitones by which more than half of the notes are higher than they were given; null where there is no such step. */
function shiftBetween(given: readonly MomentMusic[], now: readonly MomentMusic[]): number | null {
  const was = new Map(given.flatMap((m) => m.notes.map((n) => [n.id, n.midi[0]] as const)));
  const shifts = new Map<number, number>();
  let met = 0;
  for (const { id, midi } of now.flatMap((m) => m.notes)) {
    const from = was.get(id);
    if (from === undefined || midi[0] === undefined) continue;
    met++;
    shifts.set(midi[0] - from, (shifts.get(midi[0] - from) ?? 0) + 1);
  }
  const most = [...shifts].find(([, count]) => 2 * count > met);
  return most === undefined ? null : most[0];
}

const CHANGED =
  'the phrase it was made of, or the key or the chords under it, are not what they were when it was laid here';

/** A source over bars, in the key and at the tempo of a whole: all of it, and what is taken where the next part begins. */
export function layPart(
  source: Phrase,
  { key: { tonic }, tempo }: Pick<Phrase, 'key' | 'tempo'>,
  bars: LaneBars,
  { octaves, until }: Pick<PhrasePart, 'octaves' | 'until'>,
  by: PartFound['octaves'] = 'kept',
): Result<{ readonly moved: Phrase; readonly given: Phrase['voices'] }> {
  const more: readonly MoveRequest[] = octaves === 0 ? [] : [{ to: { kind: 'octaves', octaves } }];
  const requests = [...requestsTo(source, tonic, bars), ...more];
  const made =
    by === 'kept' ? moveAt(tempo, source, requests) : movedAt(tempo, source, requests, 'free');
  if (!made.ok) return made;
  return ok({ moved: made.value.phrase, given: cutAt(made.value.phrase, until) });
}

/**
 * Where a part begins, its first bar and the chords of its bars. Most of its notes are as far from those of the
 * source; its bars must lie on bars of the whole.
 */
export function standsAt(
  whole: Phrase,
  part: PhrasePart,
  source: Phrase,
): Result<{ readonly zero: Ticks; readonly firstBar: number; readonly bars: LaneBars }> {
  const there = new Map<NoteId, Ticks>(notesOf(source).map((n) => [n.note.id, n.onset]));
  const shifts = new Map<Ticks, number>();
  for (const { note, onset } of notesOf(whole)) {
    if (!note.id.startsWith(part.notes)) continue;
    const at = there.get(note.id.slice(part.notes.length));
    if (at !== undefined) shifts.set(onset - at, (shifts.get(onset - at) ?? 0) + 1);
  }
  const [best, second] = [...shifts].sort((a, b) => b[1] - a[1]);
  if (best === undefined) return fail({ message: 'none of the notes that were laid here is left' });
  if (second !== undefined && second[1] === best[1]) {
    return fail({ message: 'its notes were moved apart, so where it stands is not certain' });
  }
  const zero = best[0];
  const spans = barSpans(whole).filter((s) => s.number > 0);
  const first = spans.findIndex((s) => s.start === zero + source.pickup);
  if (first >= 0 && first + source.bars.length > spans.length) {
    return fail({ message: 'what it was made of has more bars than are left here' });
  }
  const meters = source.bars.map((b) => meterTicks(b.meter));
  if (first < 0 || meters.some((t, i) => meterTicks(spans[first + i]!.bar.meter) !== t)) {
    return fail({ message: 'its notes do not stand on whole bars any more' });
  }
  const bars = laneBars(whole, first, source.bars.length);
  if (bars === null) return fail({ message: 'the chords over it change between the beats' });
  return ok({ zero, firstBar: first + 1, bars });
}

/** What of the whole belongs to a part, or why that is not certain. */
function takenFrom(
  whole: Phrase,
  part: PhrasePart,
  source: Phrase,
  zero: Ticks,
): Result<Phrase['voices']> {
  const others = (whole.parts ?? []).filter((p) => p.notes !== part.notes);
  const own = (e: PhraseEvent) => e.notes.some((n) => n.id.startsWith(part.notes));
  const foreign = (e: PhraseEvent) =>
    e.notes.some((n) => others.some((o) => n.id.startsWith(o.notes)));
  const all = whole.voices.flatMap((v) => v.events);
  const start = zero + source.pickup;
  const end = zero + source.length;
  const before = zero - meterTicks(whole.bars[0]!.meter);
  // What was written in a pickup, or after the next part has begun, may belong to either.
  const meets = (e: PhraseEvent) =>
    all.some(
      (o) =>
        foreign(o) &&
        o.onset <= e.onset &&
        (e.onset < start ? endOf(o) > before : o.onset >= start),
    );
  const voices: Voice[] = [];
  for (const v of whole.voices) {
    const mine: PhraseEvent[] = [];
    for (const e of v.events) {
      const inside = e.onset >= zero && e.onset < end;
      if (own(e)) {
        if (foreign(e)) return fail({ message: 'a note of another part is struck with its own' });
        if (!inside) return fail({ message: 'one of its notes was moved out of its bars' });
        mine.push(e);
      } else if (inside && !foreign(e)) {
        if (meets(e)) return fail({ message: 'a new note stands where it meets another part' });
        mine.push(e);
      }
    }
    voices.push(inSource(v, mine, part, zero));
  }
  const [first, second] = voices;
  const one = second === undefined || (second.events.length === 0 && source.voices.length === 1);
  return ok(one ? [first!] : [first!, second!]);
}

/** In front of the id of a note that was written since: no id of the source begins so. */
export const NEW = '+';

/** Events of the whole in the ticks and with the ids of the source, with the tuplets they stand in. */
function inSource(v: Voice, events: readonly PhraseEvent[], part: PhrasePart, zero: Ticks): Voice {
  const id = (x: NoteId) => (x.startsWith(part.notes) ? x.slice(part.notes.length) : NEW + x);
  return {
    events: events.map((e) => ({
      ...e,
      onset: e.onset - zero,
      notes: [
        { ...e.notes[0], id: id(e.notes[0].id) },
        ...e.notes.slice(1).map((n) => ({ ...n, id: id(n.id) })),
      ],
    })),
    tuplets: v.tuplets
      .filter((t) => events.some((e) => e.onset < t.onset + t.duration && endOf(e) > t.onset))
      .map((t) => ({ ...t, onset: t.onset - zero })),
  };
}
