import type { LaidForm } from '../form/lay';
import { layLane, storeLane } from '../move/lane';
import { meterTicks } from '../phrase/time';
import type {
  ChordChange,
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
import { cutAt, laidPrint } from './laid';
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
  const starts = laid.map((l) => shiftOf(l, pickup, bar));
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
    marks: laid.flatMap((l, i) =>
      l.phrase.marks.map((m) => ({ ...m, onset: m.onset + starts[i]! })),
    ),
    parts: laid.map((l, i) => partOf(l, i, untilOf(laid, i, pickup, bar))),
  };
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
