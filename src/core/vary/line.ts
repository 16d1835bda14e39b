import { barAt, beatTicks } from '../phrase/time';
import type { Phrase, PhraseEvent, PitchedNote, Ticks, Tuplet } from '../phrase/types';
import { endOf, heardPitch } from '../phrase/walk';
import { midiOf } from '../theory/pitch';
import { type Analysis, analyse } from '../understand/analyse';
import type { NoteReading } from '../understand/reading';
import type { Dice } from './dice';
import { degreeIn, type Harmony, harmonyOf, isTone } from './harmony';

/** A moment of the melody: its highest note with what that is (D5: a bend counts as its target). */
export interface Tone {
  /** Index in the events of the first voice. */
  readonly index: number;
  readonly event: PhraseEvent;
  readonly note: PitchedNote;
  readonly reading: NoteReading;
  readonly harmony: Harmony;
  /** Sounding MIDI number that is heard. */
  readonly midi: number;
  /** 3 first beat of a bar, 2 middle of it, 1 another beat, 0 off the beat. */
  readonly weight: 0 | 1 | 2 | 3;
  readonly isTone: boolean;
  /** First note over its chord. */
  readonly arrives: boolean;
  /** Starts or ends inside a tuplet. */
  readonly inTuplet: boolean;
}

/** A phrase that is to be varied, with what every variation asks about it. */
export interface Work {
  readonly phrase: Phrase;
  readonly analysis: Analysis;
  /** The melody: the first voice. */
  readonly line: readonly Tone[];
  readonly dice: Dice;
}

/**
 * A phrase made ready for variations: understood, with its upper line and the dice to choose by.
 */
export function workOn(phrase: Phrase, dice: Dice): Work {
  const analysis = analyse(phrase);
  return { phrase, analysis, line: lineOf(phrase, analysis), dice };
}

function lineOf(p: Phrase, analysis: Analysis): readonly Tone[] {
  const { events, tuplets } = p.voices[0];
  let last: unknown = null;
  return events.flatMap((event, index): Tone[] => {
    const note = topNote(event);
    const reading = note === null ? undefined : analysis.byId.get(note.id);
    if (note === null || reading === undefined) return [];
    const harmony = harmonyOf(p.key, reading.owner?.chord ?? null);
    const owner = reading.owner;
    const arrives = owner !== last;
    last = owner;
    const heard = heardPitch(note);
    return [
      {
        index,
        event,
        note,
        reading,
        harmony,
        midi: midiOf(heard),
        weight: weightAt(p, event.onset),
        isTone: isTone(harmony, heard),
        arrives,
        inTuplet: isInTuplet(tuplets, event),
      },
    ];
  });
}

/** The note of a moment that is heard highest; null where nothing has a pitch. */
export function topNote(e: PhraseEvent): PitchedNote | null {
  const pitched = pitchedOf(e);
  return pitched.reduce<PitchedNote | null>(
    (top, n) => (top === null || midiOf(heardPitch(n)) > midiOf(heardPitch(top)) ? n : top),
    null,
  );
}

/** The notes of an event that have a pitch, without dead ones. */
export function pitchedOf(e: PhraseEvent): readonly PitchedNote[] {
  return e.notes.filter((n): n is PitchedNote => n.kind === 'pitched');
}

/** How much a moment weighs in its bar: 3 first beat, 2 its middle, 1 another beat, 0 off the beat. */
export function weightAt(p: Phrase, onset: Ticks): 0 | 1 | 2 | 3 {
  const span = barAt(p, onset);
  const beat = beatTicks(span.bar.meter);
  const at = span.number === 0 ? span.end - onset : onset - span.start;
  if (at % beat !== 0) return 0;
  if (span.number === 0) return 1;
  if (at === 0) return 3;
  const beats = (span.end - span.start) / beat;
  return beats % 2 === 0 && at / beat === beats / 2 ? 2 : 1;
}

function isInTuplet(tuplets: readonly Tuplet[], e: PhraseEvent): boolean {
  return tuplets.some((t) => e.onset < t.onset + t.duration && endOf(e) > t.onset);
}

/** The beat counted at a moment, in ticks. */
export function beatAt(p: Phrase, onset: Ticks): Ticks {
  return beatTicks(barAt(p, onset).bar.meter);
}

/** Degree over its harmony. */
export function degreeOfTone(t: Tone) {
  return degreeIn(t.harmony, heardPitch(t.note));
}
