import { moveDegree } from '../move/degrees';
import { barSpans, fullLength } from '../phrase/time';
import type { NoteId, Phrase, PhraseEvent, Ticks } from '../phrase/types';
import { endOf, heardPitch } from '../phrase/walk';
import type { Chord } from '../theory/chord';
import { degreeNearMidi, degreeOf, degreeSign, sameDegree } from '../theory/degree';
import { chromaOf, midiOf, mod, type Pitch } from '../theory/pitch';
import { chordSpans, spanAt } from '../understand/owner';
import type { NoteReading } from '../understand/reading';
import { spellAt } from '../understand/spell';
import type { Draft, NewPitch, Offer } from './draft';
import { degreeIn, harmonyOf, pitchesOf, stepInScale } from './harmony';
import { again } from './in-time';
import { beatAt, pitchedOf, topNote, type Work } from './line';
import { lasting, NewNotes, plucked, withLine, withNote } from './notes';

/** Where the pitches of a copied note go; absent for what stays. */
type Ways = Map<NoteId, (p: Pitch) => Pitch | null>;

function toOf(ways: Ways): (r: NoteReading) => NewPitch | null {
  return ({ note, start, heard }) => {
    const way = ways.get(note.id);
    if (way === undefined) return null;
    const first = way(start.pitch);
    const bent = heard === start ? null : way(heard.pitch);
    if (first === null || (heard !== start && bent === null)) return null;
    return { start: first, target: bent };
  };
}

/** What an event leaves behind that a copy cannot have: it begins afresh. */
function afresh(e: PhraseEvent): PhraseEvent {
  return pitchedOf(e).reduce(
    (done, n) => (n.attack === undefined || n.attack === 'tap' ? done : withNote(done, plucked(n))),
    e,
  );
}

const IMMOVABLE = 'natural harmonics and tuplets are not carried along';

function canBeCopied(events: readonly PhraseEvent[], work: Work): boolean {
  const { tuplets } = work.phrase.voices[0];
  const clear = !events.some((e) =>
    tuplets.some((t) => e.onset < t.onset + t.duration && endOf(e) > t.onset),
  );
  return clear && events.every((e) => pitchedOf(e).every((n) => n.harmonic?.kind !== 'natural'));
}

/** The first figure again and again, each time a step of the scale further; then the line goes on. */
function sequence(way: 1 | -1): (work: Work) => Offer {
  return (work) => {
    const { phrase, line } = work;
    const { events } = phrase.voices[0];
    const first = events[0];
    const last = events.at(-1);
    if (first === undefined || last === undefined || line.length < 3)
      return 'there is no figure in it';
    const beat = beatAt(phrase, first.onset);
    const from = first.onset - mod(first.onset - phrase.pickup, beat);
    const lengths = [2 * beat, beat, 4 * beat];
    const drafts = lengths.flatMap((length, i): Draft[] => {
      const figure = events.filter((e) => e.onset < from + length);
      const crosses = figure.some((e) => endOf(e) > from + length);
      // Three times in all: the third is where a listener expects a turn (common practice).
      const times = Math.min(2, Math.floor((last.onset - from) / length) - 1);
      const sounding = figure.filter((e) => topNote(e) !== null).length;
      if (sounding < 2 || crosses || times < 1 || !canBeCopied(figure, work)) return [];
      const made = new NewNotes(phrase);
      const ways: Ways = new Map();
      const out: PhraseEvent[] = [...figure];
      for (let k = 1; k <= times; k++) {
        figure.forEach((e, at) => {
          const copy = again(at === 0 ? afresh(e) : e, e.onset + k * length, made);
          const h = harmonyOf(phrase.key, spanAt(work.analysis.spans, copy.onset)?.chord ?? null);
          for (const n of pitchedOf(copy))
            ways.set(n.id, (p) => {
              const midi = stepInScale(h, p, way * k);
              return midi === null
                ? null
                : (pitchesOf(h.root, h.scale, midi, midi)[0] ?? spellAt(phrase, copy.onset, midi));
            });
          out.push(copy);
        });
      }
      const end = from + (times + 1) * length;
      const rest = events.filter((e) => e.onset >= end);
      out.push(...rest.map((e, k) => (k === 0 ? afresh(e) : e)));
      const side = way > 0 ? 'higher' : 'lower';
      return [
        {
          kind: 'pitches',
          phrase: withLine(phrase, out),
          to: toOf(ways),
          worth: 2 - i * 0.4 + times * 0.1,
          reason: `the first ${figure.length} notes ${times + 1} times, each time a step of the scale ${side}`,
        },
      ];
    });
    return drafts.length === 0 ? 'no figure at its beginning leaves room for more of it' : drafts;
  };
}

export const sequenceUp = sequence(1);
export const sequenceDown = sequence(-1);

/** A pitch over another chord with its role kept (M3, nearest octave); null where there is none. */
function overChord(from: Chord | null, to: Chord | null): (p: Pitch) => Pitch | null {
  if (from === null || to === null) return (p) => p;
  const up = mod(chromaOf(to.root) - chromaOf(from.root), 12);
  const shift = up > 6 ? up - 12 : up;
  return (p) => {
    const { degree } = moveDegree(from, to, degreeOf(from.root, p));
    return degreeNearMidi(to.root, degree, midiOf(p) + shift);
  };
}

/** What is played over the first chord goes through the lane: every chord has it, each note in its role. */
export function carry(work: Work): Offer {
  const { phrase, analysis } = work;
  const { events } = phrase.voices[0];
  const [home, ...others] = analysis.spans;
  if (home === undefined || others.length === 0) return 'the lane has one chord only';
  const from = Math.max(home.onset, phrase.pickup);
  const figure = events.filter((e) => e.onset >= from && e.onset < home.end);
  if (analysis.spans.some((s) => s.chord === null)) return 'a part of the lane has no chord';
  if (figure.length < 2) return 'too little is played over the first chord';
  if (!canBeCopied(figure, work)) return IMMOVABLE;
  const made = new NewNotes(phrase);
  const ways: Ways = new Map();
  const out = [...events.filter((e) => e.onset < from), ...figure.map((e) => endsBy(e, home.end))];
  for (const span of others) {
    figure.forEach((e, at) => {
      const onset = span.onset + e.onset - from;
      if (onset >= span.end) return;
      const copy = endsBy(again(at === 0 ? afresh(e) : e, onset, made), span.end);
      for (const n of pitchedOf(copy)) ways.set(n.id, overChord(home.chord, span.chord));
      out.push(copy);
    });
  }
  const reason = 'what is played over the first chord, over every chord with each note in its role';
  return [{ kind: 'pitches', phrase: withLine(phrase, out), to: toOf(ways), worth: 2, reason }];
}

function endsBy(e: PhraseEvent, end: Ticks): PhraseEvent {
  return endOf(e) <= end ? e : lasting(e, end - e.onset);
}

/**
 * The first half is the call; the second answers it in the same rhythm, each note in its role, and
 * ends on the root, or where the call did so on the fifth or third. A phrase of an odd number of
 * bars gets as many bars again, over its last chord.
 */
export function callAndAnswer(work: Work): Offer {
  const { phrase } = work;
  if (phrase.bars.some((b) => b.repeatStart || b.repeatEnd !== undefined || b.ending !== undefined))
    return 'with repeats there is no place for an answer';
  if (phrase.voices.length > 1) return 'the second voice would have to answer, too';
  const { frame, half } = framed(phrase);
  const events = phrase.voices[0].events;
  const call = events.filter((e) => e.onset < half).map((e) => endsBy(e, half));
  const main = call.filter((e) => e.onset >= phrase.pickup);
  if (main.length < 3) return 'the call would have fewer than three notes';
  if (!canBeCopied(main, work)) return IMMOVABLE;
  const spans = chordSpans(frame);
  const drafts = [0, -2].flatMap((steps): Draft[] => {
    const made = new NewNotes(phrase);
    const ways: Ways = new Map();
    const answer = main.map((e, at) => {
      const onset = e.onset + half - phrase.pickup;
      const copy = again(at === 0 ? afresh(e) : e, onset, made);
      const here = spanAt(spans, e.onset)?.chord ?? null;
      const there = spanAt(spans, onset)?.chord ?? null;
      const h = harmonyOf(phrase.key, there);
      const over = overChord(here, there);
      const lower = (p: Pitch): Pitch | null => {
        const midi = steps === 0 ? midiOf(p) : stepInScale(h, p, steps);
        if (midi === null) return null;
        return steps === 0
          ? p
          : (pitchesOf(h.root, h.scale, midi, midi)[0] ?? spellAt(frame, onset, midi));
      };
      for (const n of pitchedOf(copy))
        ways.set(n.id, (p) => {
          const moved = over(p);
          return moved === null ? null : lower(moved);
        });
      return copy;
    });
    const end = ending(answer, main, ways, frame, work);
    if (end === null) return [];
    return [
      {
        kind: 'pitches',
        phrase: withLine(frame, [...call, ...answer.slice(0, -1), end.event], []),
        to: toOf(ways),
        worth: steps === 0 ? 2 : 1.8,
        reason: `the first half is the call; the answer has its rhythm${steps === 0 ? '' : ', a third lower,'} and ends on ${end.words}`,
      },
    ];
  });
  return drafts.length === 0 ? 'the call does not end on a single note' : drafts;
}

/** The phrase with room for the answer, and the moment at which that begins. */
function framed(p: Phrase): { readonly frame: Phrase; readonly half: Ticks } {
  const bars = barSpans({ ...p, length: fullLength(p) }).filter((b) => b.number > 0);
  if (bars.length % 2 === 0) return { frame: p, half: bars[bars.length / 2]!.start };
  const half = fullLength(p);
  const frame = { ...p, bars: [...p.bars, ...p.bars], length: 2 * half - p.pickup };
  return { frame, half };
}

function ending(
  answer: readonly PhraseEvent[],
  call: readonly PhraseEvent[],
  ways: Ways,
  frame: Phrase,
  { analysis }: Work,
): { readonly event: PhraseEvent; readonly words: string } | null {
  const last = answer.at(-1)!;
  const was = topNote(call.at(-1)!);
  const note = topNote(last);
  if (note === null || was === null || last.notes.length > 1) return null;
  const spans = chordSpans(frame);
  const h = harmonyOf(frame.key, spanAt(spans, last.onset)?.chord ?? null);
  // Once the answer follows it the call's end may be read against this chord or the next (D2): it
  // differs from all of these.
  const under = spanAt(spans, call.at(-1)!.onset);
  const open = [
    analysis.byId.get(was.id)?.owner?.chord ?? null,
    under?.chord ?? null,
    spans[(under?.index ?? 0) + 1]?.chord ?? null,
  ].map((chord) => degreeIn(harmonyOf(frame.key, chord), heardPitch(was)));
  const [root, ...others] = h.tones;
  const stable = others.filter((d) => d.number === 5 || d.number === 3);
  const wanted = [...(root === undefined ? [] : [root]), ...stable].find(
    (d) => !open.some((o) => sameDegree(o, d)),
  );
  if (wanted === undefined) return null;
  const place = ways.get(note.id)?.(note.pitch) ?? note.pitch;
  const pitch = degreeNearMidi(h.root, wanted, midiOf(place));
  if (pitch === null) return null;
  const plain: PhraseEvent = {
    onset: last.onset,
    duration: last.duration,
    notes: [
      { kind: 'pitched', id: note.id, pitch: note.pitch, string: note.string, fret: note.fret },
    ],
  };
  ways.set(note.id, () => pitch);
  return { event: plain, words: degreeSign(wanted) };
}
