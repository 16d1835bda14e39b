import { byString } from '../phrase/rebuild';
import type { NoteId, PhraseEvent, PitchedNote } from '../phrase/types';
import { heardPitch, mapNotes } from '../phrase/walk';
import { degreeSign } from '../theory/degree';
import { midiOf, type Pitch } from '../theory/pitch';
import { analyse } from '../understand/analyse';
import { spellAt } from '../understand/spell';
import type { Draft, Offer } from './draft';
import { degreeIn, type Harmony, isInScale, pitchesOf, stepInScale } from './harmony';
import { pitchedOf, type Tone, type Work } from './line';
import { isPlain, leadsOn, NewNotes, withLine } from './notes';
import { listed, spotsOf, unique } from './spots';

/**
 * The lowest sound that the lower note of a pair may have: closer pairs blur when they lie low
 * (common practice: thirds from about C3, wider pairs from the lowest strings).
 */
const LOWEST_THIRD = 47;
const LOWEST_WIDE = 40;

/** Melody notes beside which a second string can be struck. */
function singles(work: Work): readonly Tone[] {
  const events = work.phrase.voices[0].events;
  return work.line.filter(
    (t) =>
      t.event.notes.length === 1 &&
      isPlain(t) &&
      t.event.palmMute === undefined &&
      t.note.ghost === undefined &&
      !leadsOn(events, t.index),
  );
}

/** Which second note goes with a note of the melody; null where none does. */
type Partner = (t: Tone, work: Work) => Pitch | null;

/** Semitones in the order a player tries them: thirds, sixths, the fourth, the tritone of a seventh chord. */
const FITTING = [3, 4, 9, 8, 5, 6, 7];

/** A chord tone below or above: a third if there is one, else a sixth, a fourth, the tritone. */
function chordPartner(way: -1 | 1): Partner {
  return ({ harmony, midi }) => {
    const tones = pitchesOf(harmony.root, harmony.tones, midi - 9, midi + 9);
    for (const semitones of FITTING) {
      const found = tones.find((p) => midiOf(p) === midi + way * semitones);
      if (found !== undefined && isClear(midi, midiOf(found))) return found;
    }
    return null;
  };
}

/** A scale note so many steps below or above, of the sizes that make the interval. */
function scalePartner(steps: number, sizes: readonly number[]): Partner {
  return (t, work) => {
    const { harmony } = t;
    const heard = heardPitch(t.note);
    const led = isInScale(harmony, heard) ? null : goalOf(t, work);
    // A note that leads by a semitone takes its second string along (common practice).
    const from = led ?? t;
    const midi = stepInScale(from.harmony, heardPitch(from.note), steps);
    if (midi === null || !isInScale(from.harmony, heardPitch(from.note))) return null;
    const partner = midi + (t.midi - from.midi);
    if (!sizes.includes(Math.abs(partner - t.midi)) || !isClear(t.midi, partner)) return null;
    return nameIn(harmony, partner, work, t);
  };
}

function goalOf(t: Tone, work: Work): Tone | null {
  const goal = work.line.find((x) => x.note.id === t.reading.goal) ?? null;
  return goal !== null && Math.abs(goal.midi - t.midi) <= 2 ? goal : null;
}

function nameIn(h: Harmony, midi: number, work: Work, t: Tone): Pitch {
  const named = pitchesOf(h.root, [...h.tones, ...h.scale], midi, midi)[0];
  return named ?? spellAt(work.phrase, t.event.onset, midi);
}

/** Whether two sounds together are clear where they lie. */
function isClear(a: number, b: number): boolean {
  const low = Math.min(a, b);
  return low >= (Math.abs(a - b) <= 5 ? LOWEST_THIRD : LOWEST_WIDE);
}

function doubled(what: string, partner: Partner): (work: Work) => Offer {
  return (work) => {
    const could = singles(work).filter((t) => partner(t, work) !== null);
    if (could.length === 0) return 'no single note here takes a second string that sounds clear';
    return spotsOf(work, could).map((s): Draft => {
      const made = new NewNotes(work.phrase);
      const pairs: string[] = [];
      const partners = new Map<NoteId, PitchedNote>();
      const events = work.phrase.voices[0].events.map((e, i): PhraseEvent => {
        const t = s.tones.find((x) => x.index === i);
        const pitch = t === undefined ? null : partner(t, work);
        if (t === undefined || pitch === null) return e;
        pairs.push(pairSaid(t, pitch));
        const above = midiOf(pitch) > t.midi;
        const string = stringBeside(work, t.note, above);
        partners.set(t.note.id, made.make(pitch, string));
        return { ...e, notes: byString([...e.notes, partners.get(t.note.id)!]) };
      });
      const phrase = withLine(work.phrase, events);
      // A pair belongs to one chord, which the melody has chosen (D2).
      const read = analyse(phrase);
      const owned = mapNotes(phrase, ({ note }) => {
        const [melody] = [...partners].find(([, n]) => n.id === note.id) ?? [];
        if (melody === undefined || note.kind === 'dead') return note;
        const anticipation = read.byId.get(melody)!.anticipates;
        return read.byId.get(note.id)!.anticipates === anticipation
          ? note
          : { ...note, anticipation };
      });
      const told = unique(pairs).slice(0, 4);
      return {
        kind: 'notes',
        free: made.ids,
        phrase: owned,
        worth: s.worth,
        reason: `${what} ${s.where}: ${listed(told)}`,
      };
    });
  };
}

function pairSaid(t: Tone, partner: Pitch): string {
  const own = degreeSign(degreeIn(t.harmony, heardPitch(t.note)));
  const other = degreeSign(degreeIn(t.harmony, partner));
  return midiOf(partner) < t.midi ? `${other} under ${own}` : `${other} over ${own}`;
}

function stringBeside(work: Work, n: PitchedNote, above: boolean): number {
  const strings = work.phrase.instrument.tuning.length;
  const wanted = n.string + (above ? -1 : 1);
  if (wanted >= 1 && wanted <= strings) return wanted;
  return n.string + (above ? 1 : -1);
}

export const doubleBelow = doubled('a chord tone below', chordPartner(-1));
export const doubleAbove = doubled('a chord tone above', chordPartner(1));
export const thirds = doubled('a third below', scalePartner(-2, [3, 4]));
export const sixths = doubled('a sixth below', scalePartner(-5, [8, 9]));
export const fourths = doubled('a fourth below', scalePartner(-3, [5]));

/** The melody alone: of every pair and chord the highest note. */
export function singleLine(work: Work): Offer {
  const together = work.line.filter((t) => pitchedOf(t.event).length > 1);
  if (together.length === 0) return 'it is a line of single notes already';
  const ids = new Set(together.map((t) => t.event));
  const events = work.phrase.voices[0].events.map((e): PhraseEvent => {
    if (!ids.has(e)) return e;
    const { note } = together.find((t) => t.event === e)!;
    const { strum: _, graces, ...rest } = e;
    const kept = graces?.flatMap((g) => {
      const notes = g.notes.filter((n) => n.string === note.string);
      return notes.length === 0 ? [] : [{ notes: byString(notes) }];
    });
    const [first, ...more] = kept ?? [];
    return {
      ...rest,
      notes: [note],
      ...(first === undefined ? {} : { graces: [first, ...more] as const }),
    };
  });
  const all: Draft = {
    kind: 'as it lies',
    phrase: withLine(work.phrase, events),
    worth: 1,
    reason: 'the highest note of every pair and chord is the melody',
  };
  return [all];
}
