import { barAt, barSpans, beatTicks, meterTicks } from '../phrase/time';
import { type NoteId, type Phrase, TICKS_PER_QUARTER, type Ticks } from '../phrase/types';
import { endOf } from '../phrase/walk';
import { checkPhrase } from '../validity/check-phrase';
import { excerptOf } from './clip';

/** Where a long piece is cut. */
export type CutWay =
  /** Where all voices are silent for so long. */
  | { readonly kind: 'rests'; readonly least: Ticks }
  /** Behind every so many bars; a pickup belongs to the first of them. */
  | { readonly kind: 'bars'; readonly bars: number }
  /** Before each of these bars, from 2 on; what begins in one of them begins a part. */
  | { readonly kind: 'before'; readonly bars: readonly number[] };

/** A rest of a quarter parts phrases (common practice: a breath). */
export const BREATH: CutWay = { kind: 'rests', least: TICKS_PER_QUARTER };

/** A part with fewer notes is no phrase: it stays with the one before. */
const LEAST_NOTES = 3;

/** A piece longer than this is offered to be cut when it comes in. */
export const LONG_BARS = 16;

/**
 * A long piece as phrases, in order: each has the bars it touches with their chords and metres, signs
 * of repetition left out. Every note stands in one of them. What begins in the second half of a bar
 * and goes on begins with a pickup.
 * @param identity Of part number n, from 1.
 * @returns the piece alone where there is nothing to cut.
 */
export function cutPhrase(
  p: Phrase,
  way: CutWay,
  identity: (part: number) => { readonly id: string; readonly now: string },
): readonly Phrase[] {
  const groups = groupsOf(p, way);
  if (groups.length < 2) return [p];
  const title = p.meta.title.trim();
  return groups.flatMap((ids, i) => {
    const { id, now } = identity(i + 1);
    const meta = {
      ...p.meta,
      title: `${title === '' ? 'Part' : title} ${i + 1}`,
      created: now,
      modified: now,
    };
    const part = excerptOf(p, ids, id, meta);
    return part === null ? [] : withPickup(part);
  });
}

/**
 * The bars before which a way cuts, as near as bars say it: what a person begins with who cuts by hand.
 * Ascending, none of them the first.
 */
export function barsToCutBefore(p: Phrase, way: CutWay): readonly number[] {
  const onsets = new Map(struck(p).flatMap((s) => s.ids.map((id) => [id, s.onset] as const)));
  const starts = groupsOf(p, way).map((ids) => {
    const first = Math.min(...[...ids].map((id) => onsets.get(id)!));
    return Math.max(1, barAt(p, first).number);
  });
  return [...new Set(starts)].filter((bar) => bar > 1).sort((a, b) => a - b);
}

function groupsOf(p: Phrase, way: CutWay): readonly ReadonlySet<NoteId>[] {
  switch (way.kind) {
    case 'rests':
      return byRests(p, way.least);
    case 'bars':
      return byBars(p, (bar) => Math.floor((bar - 1) / way.bars));
    case 'before':
      return byBars(p, (bar) => way.bars.filter((start) => start <= bar).length);
  }
}

interface Struck {
  readonly onset: Ticks;
  readonly end: Ticks;
  readonly ids: readonly NoteId[];
}

/** What is struck in any voice, by onset. */
function struck(p: Phrase): readonly Struck[] {
  return p.voices
    .flatMap((v) =>
      v.events.map((e) => ({ onset: e.onset, end: endOf(e), ids: e.notes.map((n) => n.id) })),
    )
    .sort((a, b) => a.onset - b.onset);
}

function byRests(p: Phrase, least: Ticks): readonly ReadonlySet<NoteId>[] {
  const groups: NoteId[][] = [];
  let end = Number.NEGATIVE_INFINITY;
  for (const s of struck(p)) {
    if (s.onset - end >= least) groups.push([]);
    groups.at(-1)!.push(...s.ids);
    end = Math.max(end, s.end);
  }
  return joined(groups);
}

/** @param placeOf The number of the part that a bar belongs to. */
function byBars(p: Phrase, placeOf: (bar: number) => number): readonly ReadonlySet<NoteId>[] {
  const groups = new Map<number, NoteId[]>();
  for (const s of struck(p)) {
    const place = placeOf(Math.max(1, barAt(p, s.onset).number));
    groups.set(place, [...(groups.get(place) ?? []), ...s.ids]);
  }
  return [...groups.values()].map((ids) => new Set(ids));
}

/** Groups of a few notes go to the one before; a few at the beginning to the one behind. */
function joined(groups: readonly (readonly NoteId[])[]): readonly ReadonlySet<NoteId>[] {
  const kept: NoteId[][] = [];
  for (const ids of groups) {
    const last = kept.at(-1);
    if (last !== undefined && (ids.length < LEAST_NOTES || last.length < LEAST_NOTES)) {
      last.push(...ids);
    } else kept.push([...ids]);
  }
  return kept.map((ids) => new Set(ids));
}

/** What begins late in its first bar, and goes on, begins with a pickup (T2). */
function withPickup(p: Phrase): Phrase {
  const [first, ...bars] = p.bars;
  const next = bars[0];
  if (p.pickup > 0 || first === undefined || next === undefined) return p;
  const onset = Math.min(...p.voices.flatMap((v) => v.events[0]?.onset ?? []));
  const full = meterTicks(first.meter);
  const beat = beatTicks(first.meter);
  const by = Math.floor(onset / beat) * beat;
  const pickup = full - by;
  if (by < full / 2 || pickup <= 0 || pickup >= meterTicks(next.meter)) return p;
  const back = <T extends { readonly onset: Ticks }>(x: T): T => ({ ...x, onset: x.onset - by });
  const before = p.chords.filter((c) => c.onset <= by).at(-1);
  const [one, two] = p.voices.map((v) => ({
    events: v.events.map(back),
    tuplets: v.tuplets.filter((t) => t.onset >= by).map(back),
  }));
  const made: Phrase = {
    ...p,
    pickup,
    bars,
    length: p.length - by,
    chords: [
      ...(before === undefined ? [] : [{ ...before, onset: 0 }]),
      ...p.chords.filter((c) => c.onset > by).map(back),
    ],
    voices: two === undefined ? [one!] : [one!, two],
    marks: p.marks.map((m) => ({ ...m, onset: Math.max(0, m.onset - by) })),
  };
  // A tuplet or a mark may need the bar as it was.
  return checkPhrase(made).length === 0 ? made : p;
}

/** Whether a piece is so long that somebody may want it cut. */
export function isLong(p: Phrase): boolean {
  return barSpans(p).length > LONG_BARS;
}
