import type { PhraseEvent } from '../phrase/types';
import { endOf } from '../phrase/walk';
import { midiOf, type Pitch } from '../theory/pitch';
import { spanAt } from '../understand/owner';
import type { Draft, Offer } from './draft';
import { type Harmony, harmonyOf, pitchesOf, scaleNeighbour } from './harmony';
import { beatAt, pitchedOf, type Tone, type Work } from './line';
import {
  canStart,
  isPlain,
  lasting,
  leadsOn,
  NewNotes,
  plucked,
  withLine,
  withNote,
} from './notes';
import { degreesSaid, spread } from './spots';

const EIGHTH = 5_040;

/** Fewer notes at their own times, with air where the others were. */
export function thin(work: Work): Offer {
  const { line } = work;
  const out = (keep: (t: Tone, i: number) => boolean, reason: string, worth: number) =>
    without(work, keep, reason, worth);
  const last = line.length - 1;
  const ends = (i: number) => i === 0 || i === last;
  const drafts = [
    out(
      (t, i) => ends(i) || t.isTone || t.weight > 1,
      'passing notes and what lies between left out, chord tones kept',
      3,
    ),
    out((t, i) => ends(i) || t.weight > 0 || t.arrives, 'what falls between the beats left out', 2),
    out((_, i) => ends(i) || i % 2 === 0, 'every other note left out', 1),
    ...(work.dice.seed === 0 ? [] : [randomly(work)]),
  ].flatMap((d) => d ?? []);
  return drafts.length === 0 ? 'there is nothing here that could be left out' : drafts;
}

function randomly(work: Work): Draft | null {
  const taken = new Set(work.dice.some(work.line.slice(1, -1)));
  return without(work, (t) => !taken.has(t), 'some notes left out', 4);
}

function without(
  work: Work,
  keep: (t: Tone, i: number) => boolean,
  reason: string,
  worth: number,
): Draft | null {
  const kept = new Set(work.line.filter(keep).map((t) => t.index));
  const of = new Set(work.line.map((t) => t.index));
  const events = work.phrase.voices[0].events.filter((_, i) => !of.has(i) || kept.has(i));
  if (kept.size < 2 || kept.size === work.line.length) return null;
  return {
    kind: 'as it lies',
    phrase: withLine(work.phrase, unlinked(work, events)),
    worth,
    reason,
  };
}

/** Notes that were reached from a note that went, or has moved away, are plucked. */
export function unlinked(work: Work, events: readonly PhraseEvent[]): readonly PhraseEvent[] {
  const old = work.phrase.voices[0].events;
  const before = new Map(old.map((e, i) => [e.notes[0].id, old[i - 1]?.notes[0].id]));
  return events.map((e, i) => {
    const was = before.get(e.notes[0].id);
    const is = events[i - 1];
    if (is !== undefined && is.notes[0].id === was && endOf(is) === e.onset) return e;
    if (e.graces !== undefined) return e;
    return e.notes.reduce<PhraseEvent>(
      (done, n) =>
        n.kind === 'pitched' && n.attack !== undefined && n.attack !== 'tap'
          ? withNote(done, plucked(n))
          : done,
      e,
    );
  });
}

/**
 * Fewer and longer: the chord tones on the beat, each held until the next; the last with vibrato.
 * What is bent or slid into keeps that, since it speaks for itself.
 */
export function understate(work: Work): Offer {
  const { line } = work;
  if (line.length < 3) return 'there are too few notes to leave any out';
  const strong = (t: Tone) => t.isTone && t.weight > 0;
  const choices: readonly { keep: readonly Tone[]; reason: string; worth: number }[] = [
    {
      keep: line.filter(strong),
      reason: 'only the chord tones on the beat, held until the next',
      worth: 2,
    },
    {
      keep: line.filter((t) => strong(t) && (t.weight > 1 || t.arrives)),
      reason: 'one chord tone where the bar or the chord begins, held',
      worth: 1,
    },
    {
      keep: onePerBeatPair(line),
      reason: 'the chord tone that weighs most of every two beats',
      worth: 3,
    },
  ];
  const drafts = choices.flatMap(({ keep, reason, worth }): Draft[] => {
    const enough = keep.length >= 2 || (keep.length === 1 && line.length < 5);
    if (!enough || keep.length >= line.length) return [];
    const events = held(work, keep);
    if (meanLength(events) <= meanLength(work.phrase.voices[0].events)) return [];
    return [
      {
        kind: 'notes',
        free: new Set(),
        worth,
        phrase: withLine(work.phrase, events),
        reason: `${reason}: ${degreesSaid(keep)}`,
      },
    ];
  });
  return drafts.length === 0 ? 'too few chord tones fall on the beat' : drafts;
}

/** Mean length of the notes, each of a chord by itself. */
function meanLength(events: readonly PhraseEvent[]): number {
  const notes = events.reduce((n, e) => n + pitchedOf(e).length, 0);
  return events.reduce((sum, e) => sum + e.duration * pitchedOf(e).length, 0) / Math.max(1, notes);
}

/** Of every two beats the chord tone that weighs most. */
function onePerBeatPair(line: readonly Tone[]): readonly Tone[] {
  return spread(line.filter((t) => t.isTone && t.weight > 0));
}

/** The chosen notes, each as long as up to the next, at most two beats over its own end. */
function held(work: Work, keep: readonly Tone[]): readonly PhraseEvent[] {
  const { phrase } = work;
  const events = keep.map((t, i): PhraseEvent => {
    const next = keep[i + 1];
    const last = work.line.at(-1)!;
    const limit = next === undefined ? endOf(last.event) : next.event.onset;
    const most = endOf(t.event) + 2 * beatAt(phrase, t.event.onset);
    const end = Math.max(endOf(t.event), Math.min(limit, most));
    const { staccato: _, tremolo: __, ...long } = t.event;
    const whole = lasting(long, Math.min(end, limit) - t.event.onset);
    if (next !== undefined || t.note.vibrato !== undefined || !canShake(t)) return whole;
    return withNote(whole, { ...t.note, vibrato: 'narrow' });
  });
  return unlinked(work, events);
}

function canShake({ note }: Tone): boolean {
  return note.fret > 0 && note.trill === undefined && note.harmonic?.kind !== 'natural';
}

/** Gaps between neighbours are filled with notes of the scale, on eighths. */
export function busier(work: Work): Offer {
  const gaps = work.line.flatMap((t, i) => {
    const next = work.line[i + 1];
    const fill = next === undefined ? null : filling(work, t, next);
    return fill === null ? [] : [{ t, fill }];
  });
  if (gaps.length === 0) return 'there is no room between the notes';
  const sets = [
    { of: gaps, reason: 'every gap filled with notes of the scale', worth: 2 },
    {
      of: gaps.filter((_, i) => i % 2 === 0),
      reason: 'every other gap filled with notes of the scale',
      worth: 1.5,
    },
    ...(work.dice.seed === 0
      ? []
      : [
          {
            of: work.dice.some(gaps),
            reason: 'some gaps filled with notes of the scale',
            worth: 3,
          },
        ]),
  ];
  return sets
    .filter((s, i) => i === 0 || s.of.length < gaps.length)
    .map(({ of, reason, worth }): Draft => {
      const made = new NewNotes(work.phrase);
      const events = work.phrase.voices[0].events.flatMap((e, i) => {
        const gap = of.find((g) => g.t.index === i);
        if (gap === undefined) return [e];
        const from = gap.fill[0]!.at;
        const first = endOf(e) > from ? lasting(e, from - e.onset) : e;
        const added = gap.fill.map(
          ({ at, pitch }): PhraseEvent => ({
            onset: at,
            duration: EIGHTH,
            notes: [made.make(pitch, gap.t.note.string)],
          }),
        );
        return [first, ...added];
      });
      return {
        kind: 'notes',
        free: made.ids,
        phrase: withLine(work.phrase, events),
        worth,
        reason,
      };
    });
}

interface Fill {
  readonly at: number;
  readonly pitch: Pitch;
}

/** Notes between two of the line: steps of the scale that lie between, else the neighbour and back. */
function filling(work: Work, a: Tone, b: Tone): readonly Fill[] | null {
  const { events, tuplets } = work.phrase.voices[0];
  if (b.index !== a.index + 1 || !isFree(a) || !isFree(b) || leadsOn(events, a.index)) return null;
  if (b.note.slideIn !== undefined) return null;
  const gap = b.event.onset - a.event.onset;
  const slots: number[] = [];
  for (
    let at = b.event.onset - EIGHTH;
    at >= a.event.onset + EIGHTH && slots.length < 3;
    at -= EIGHTH
  )
    slots.unshift(at);
  if (a.reading.anticipates || gap > 3 * beatAt(work.phrase, a.event.onset) || slots.length === 0)
    return null;
  const clear = slots.every(
    (at) =>
      canStart(tuplets, at) &&
      !tuplets.some((t) => at < t.onset + t.duration && at + EIGHTH > t.onset),
  );
  if (!clear) return null;
  const spans = slots.map((at) => spanAt(work.analysis.spans, at));
  if (spans.some((x) => x !== spans[0])) return null;
  const chord = spans[0]?.chord ?? null;
  const h = harmonyOf(work.phrase.key, chord);
  const pitches = between(h, a, b, slots.length);
  return pitches === null
    ? null
    : pitches.map((pitch, k) => ({ at: slots[slots.length - pitches.length + k]!, pitch }));
}

function isFree(t: Tone): boolean {
  return isPlain(t) && t.event.notes.length === 1 && t.note.letRing === undefined;
}

function between(h: Harmony, a: Tone, b: Tone, most: number): readonly Pitch[] | null {
  const up = b.midi > a.midi;
  const inside = pitchesOf(
    h.root,
    h.scale,
    Math.min(a.midi, b.midi) + 1,
    Math.max(a.midi, b.midi) - 1,
  );
  const way = up ? inside : [...inside].reverse();
  // The last steps before the next note, so that the line walks into it.
  if (way.length > 0) return way.slice(-most);
  const beside = scaleNeighbour(h, b.midi, a.midi > b.midi ? -1 : 1);
  return beside === null || midiOf(beside) === a.midi ? null : [beside];
}

/** Each note that is long enough is struck twice. */
export function doubling(work: Work): Offer {
  const { events, tuplets } = work.phrase.voices[0];
  const could = work.line.filter(
    (t) =>
      t.event.duration >= 2 * EIGHTH &&
      t.event.duration % (2 * EIGHTH) === 0 &&
      isPlain(t) &&
      t.note.vibrato === undefined &&
      t.note.letRing === undefined &&
      !t.inTuplet &&
      !leadsOn(events, t.index) &&
      canStart(tuplets, t.event.onset + t.event.duration / 2),
  );
  if (could.length === 0) return 'no note here is long enough to be struck twice';
  const sets = [
    { of: could, reason: 'every note of a quarter and more is struck twice', worth: 2 },
    {
      of: could.filter((t) => t.weight > 0),
      reason: 'the long notes on the beat are struck twice',
      worth: 1.5,
    },
    ...(work.dice.seed === 0
      ? []
      : [
          {
            of: work.dice.some(could),
            reason: 'some of the long notes are struck twice',
            worth: 3,
          },
        ]),
  ];
  return sets
    .filter((s, i) => s.of.length > 0 && (i === 0 || s.of.length < could.length))
    .map(({ of, reason, worth }): Draft => {
      const made = new NewNotes(work.phrase);
      const struck = events.flatMap((e, i) => {
        if (!of.some((t) => t.index === i)) return [e];
        const half = e.duration / 2;
        const { accent: _, stroke: __, strum: ___, ...rest } = e;
        const [first, ...more] = e.notes;
        const again: PhraseEvent = {
          ...lasting(rest, half),
          onset: e.onset + half,
          notes: [made.copy(first), ...more.map((n) => made.copy(n))],
        };
        return [lasting(e, half), again];
      });
      return { kind: 'as it lies', phrase: withLine(work.phrase, struck), worth, reason };
    });
}
