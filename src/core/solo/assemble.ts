import type { LaidForm } from '../form/lay';
import { layLane, storeLane } from '../move/lane';
import { meterTicks } from '../phrase/time';
import type {
  ChordChange,
  DynamicMark,
  Mark,
  Meta,
  Note,
  Phrase,
  PhraseEvent,
  PhrasePart,
  Tempo,
  Ticks,
  Voice,
} from '../phrase/types';
import { endOf } from '../phrase/walk';
import { cutAt, firstOnset, laidPrint } from './laid';
import type { Candidate } from './types';

/** A phrase as it was moved and fingered for its place. */
export interface Laid {
  readonly candidate: Candidate;
  readonly phrase: Phrase;
}

export interface Frame {
  readonly id: string;
  readonly meta: Meta;
  readonly tempo: Tempo;
}

/**
 * Puts phrases one after the other into one that is as long as the form, over the form's chords. Ids
 * of notes get the number of their phrase in front; a note that would ring into the next phrase ends
 * where that begins.
 * @param laid In order, at least one.
 */
export function assemble(form: LaidForm, laid: readonly Laid[], frame: Frame): Phrase {
  const { meter } = form.form;
  const bar = meterTicks(meter);
  const first = laid[0]!;
  const pickup = first.candidate.start === 0 ? first.phrase.pickup : 0;
  const bars = form.bars.map(() => ({ meter }));
  const voices = [0, 1].map((v) => voiceOf(laid, v, pickup, bar));
  const [melody, under] = voices as [Voice, Voice];
  const { parts: _, ...frameOfFirst } = first.phrase;
  return {
    ...frameOfFirst,
    id: frame.id,
    parent: null,
    meta: frame.meta,
    key: form.key,
    tempo: frame.tempo,
    feel: form.form.feel,
    pickup,
    bars,
    length: pickup + bar * bars.length,
    chords: chordsOf(form, pickup),
    voices: under.events.length === 0 ? [melody] : [melody, under],
    marks: marksOf(laid, pickup, bar),
    parts: laid.map((l, i) => partOf(l, i, untilOf(laid, i, pickup, bar))),
  };
}

/** A phrase that says nothing is played so (`sound/loudness.ts`). */
const USUAL = 'mf';

/**
 * The marks of all phrases, up to where the next begins. A mark counts until another does: where a phrase says nothing
 * as it begins, what the one before said last is taken back.
 */
function marksOf(laid: readonly Laid[], pickup: Ticks, bar: Ticks): readonly Mark[] {
  let inForce: DynamicMark = USUAL;
  const marks = laid.flatMap((l, i): readonly Mark[] => {
    const { voices, marks: all } = l.phrase;
    const until = untilOf(laid, i, pickup, bar);
    const own = all.filter((m) => m.onset < until);
    const onset = firstOnset(voices);
    const loud = own.flatMap((m) => (m.kind === 'dynamic' ? [m] : []));
    const isSaid = loud.some((m) => m.onset <= onset);
    const back: readonly Mark[] =
      isSaid || inForce === USUAL ? [] : [{ kind: 'dynamic', onset, value: USUAL }];
    inForce = loud.at(-1)?.value ?? USUAL;
    return [...back, ...own].map((m) => ({ ...m, onset: m.onset + shiftOf(l, pickup, bar) }));
  });
  return marks.sort((a, b) => a.onset - b.onset);
}

/** What a part says of where it comes from, so that an edit of it can be taken back there. */
function partOf({ candidate, phrase }: Laid, i: number, until: Ticks): PhrasePart {
  const cut = phrase.voices.some((v) => v.events.some((e) => endOf(e) > until));
  return {
    source: phrase.id,
    title: phrase.meta.title,
    notes: markOf(i),
    octaves: candidate.octaves,
    ...(cut ? { until } : {}),
    laid: laidPrint(cutAt(phrase, cut ? until : undefined)),
  };
}

/** Stands before the ids of a part's notes. */
function markOf(i: number): string {
  return `${i + 1}-`;
}

/** The tick of a phrase, in its own ticks, at which the next one begins. */
function untilOf(laid: readonly Laid[], i: number, pickup: Ticks, bar: Ticks): Ticks {
  const next = laid[i + 1];
  if (next === undefined) return Number.POSITIVE_INFINITY;
  const begins = next.phrase.voices[0].events[0]?.onset ?? 0;
  return shiftOf(next, pickup, bar) + begins - shiftOf(laid[i]!, pickup, bar);
}

/** How far the ticks of a phrase are from those of the whole. */
function shiftOf({ candidate, phrase }: Laid, pickup: Ticks, bar: Ticks): Ticks {
  return pickup + candidate.start * bar - phrase.pickup;
}

function voiceOf(laid: readonly Laid[], voice: number, pickup: Ticks, bar: Ticks): Voice {
  const events: PhraseEvent[] = [];
  const tuplets: Voice['tuplets'][number][] = [];
  laid.forEach((l, i) => {
    const shift = shiftOf(l, pickup, bar);
    const source = cutAt(l.phrase, untilOf(laid, i, pickup, bar))[voice];
    for (const e of source?.events ?? []) {
      const notes = e.notes.map((n): Note => ({ ...n, id: markOf(i) + n.id }));
      events.push({ ...e, onset: e.onset + shift, notes: [notes[0]!, ...notes.slice(1)] });
    }
    for (const t of source?.tuplets ?? []) tuplets.push({ ...t, onset: t.onset + shift });
  });
  return { events, tuplets };
}

function chordsOf(form: LaidForm, pickup: Ticks): readonly ChordChange[] {
  const bars = form.bars.map(() => ({ meter: form.form.meter }));
  const length = pickup + meterTicks(form.form.meter) * bars.length;
  const laid = layLane({ pickup, bars, length }, form.bars);
  // `layForm` has read the form for this metre.
  if (!laid.ok) throw new RangeError(laid.problems[0]?.message);
  return storeLane(laid.value);
}
