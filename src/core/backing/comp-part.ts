import { byString } from '../phrase/rebuild';
import { type RecordBirth, shownTitle } from '../phrase/record';
import { barSpans, isCompound, meterTicks, sameBars } from '../phrase/time';
import {
  type Meter,
  type Note,
  PHRASE_VERSION,
  type Phrase,
  type PhraseEvent,
} from '../phrase/types';
import { endOf } from '../phrase/walk';
import { fail, ok, type Result } from '../result';
import { type Chord, chordSign } from '../theory/chord';
import { degreeNearMidi } from '../theory/degree';
import { checkPhrase } from '../validity/check-phrase';
import { leadVoices } from './comping';
import { formOfPhrase } from './form';
import type { CompVoice, FormChord } from './types';
import { BACKING_GUITAR } from './voicings';

/** Accompaniment for a phrase, written out. */
export interface CompPart {
  /** As long as the phrase it goes with, over the same chords. */
  readonly phrase: Phrase;
  /** Chords that no stroke of the rhythm falls on, as they are written, each once. */
  readonly silent: readonly string[];
}

/** A stroke at most an eighth before a change that sounds through it is the next chord's (D2). */
const EARLY = 5_040;

/**
 * The strokes of a rhythm phrase under another phrase: bar after bar of the rhythm over bar after bar of it.
 * Strokes, lengths and dampings stay; the notes are grips of the chords, led together so that the voices move
 * least, none further than `MOST_MOTION` where any grips allow. A stroke ends where its chord does, but for a
 * push. Left out: the rhythm's pickup, its second voice, graces and rakes.
 * @returns Or why it cannot be: another metre, no stroke at all, or a phrase with repeats or without chords.
 */
export function compPart(under: Phrase, rhythm: Phrase, birth: RecordBirth): Result<CompPart> {
  const refused = whyNot(under, rhythm);
  if (refused !== null) return fail({ message: refused });
  const form = formOfPhrase(under);
  const twos = rhythm.voices[0].events.some((e) => e.notes.length === 2);
  const grips = leadVoices(form.chords, 1, twos ? guideTones : null);
  const at = (tick: number) => form.chords.findIndex((c) => tick >= c.start && tick < c.end);
  const struck = new Set<FormChord>();
  const events: PhraseEvent[] = [];
  for (const stroke of strokesOver(under, rhythm)) {
    const here = at(stroke.onset);
    const end = form.chords[here]?.end ?? under.length;
    const push = end - stroke.onset <= EARLY && endOf(stroke) > end && grips[here + 1] != null;
    const which = push ? here + 1 : here;
    const chord = form.chords[which];
    const grip = grips[which];
    if (chord?.chord == null || grip == null) continue;
    struck.add(chord);
    const duration = Math.min(endOf(stroke), chord.end) - stroke.onset;
    events.push({ ...stroke, duration, notes: notesOf(stroke, grip.voices, chord.chord) });
  }
  if (events.length === 0) {
    return fail({
      message: `“${shownTitle(rhythm.meta)}” strikes nothing there in its first voice`,
    });
  }
  const silent = form.chords.filter((c) => c.chord !== null && !struck.has(c));
  const phrase = framed(under, rhythm, events, birth);
  const wrong = checkPhrase(phrase)[0];
  if (wrong !== undefined) return fail(wrong);
  return ok({ phrase, silent: [...new Set(silent.map((c) => chordSign(c.chord!)))] });
}

/**
 * What goes beneath a phrase: what is given as it is where it has the same bars and chords, else its strokes.
 * @returns null where it cannot go there.
 */
export function partBeneath(under: Phrase, given: Phrase): Phrase | null {
  const lane = (p: Phrase) => JSON.stringify(p.chords);
  if (sameBars(under, given) && lane(under) === lane(given)) return given;
  const title = `Comping for ${under.meta.title.trim() === '' ? 'a phrase' : under.meta.title}`;
  const made = compPart(under, given, {
    ...{ id: `${under.id}-comping`, now: under.meta.modified, title },
  });
  return made.ok ? made.value.phrase : null;
}

/** Why a rhythm cannot go under a phrase, without a full stop; null where it can. */
function whyNot(under: Phrase, rhythm: Phrase): string | null {
  if (under.chords.every((c) => c.symbol === null)) return 'there are no chords to accompany';
  if (under.bars.some((b) => b.repeatEnd !== undefined)) return 'it is played with repeats';
  // 6/8 lasts as long as 3/4, but its strokes lie elsewhere.
  const meters = new Set(
    [...under.bars, ...rhythm.bars].map((b) => `${meterTicks(b.meter)} ${isCompound(b.meter)}`),
  );
  if (meters.size === 1) return null;
  const name = ({ beats, beatType }: Meter) => `${beats}/${beatType}`;
  const [own, other] = [rhythm.bars[0]!.meter, under.bars[0]!.meter];
  return name(own) === name(other)
    ? 'its metre or that of the rhythm changes on the way'
    : `“${shownTitle(rhythm.meta)}” is in ${name(own)} and the phrase above it in ${name(other)}`;
}

/** The strokes of the rhythm at their moments, with their own notes still. */
function strokesOver(under: Phrase, rhythm: Phrase): readonly PhraseEvent[] {
  const own = barSpans(rhythm).filter((s) => s.number > 0);
  const strokes: PhraseEvent[] = [];
  for (const bar of barSpans(under)) {
    if (bar.number === 0) continue;
    const from = own[(bar.number - 1) % own.length]!;
    for (const e of rhythm.voices[0].events) {
      const onset = bar.start + e.onset - from.start;
      if (e.onset < from.start || e.onset >= from.end || onset >= bar.end) continue;
      strokes.push({ ...e, onset });
    }
  }
  // What sounds on into the next time round gives way to it.
  return strokes.map((e, i) => {
    const until = Math.min(strokes[i + 1]?.onset ?? under.length, under.length);
    return { ...e, duration: Math.min(e.duration, until - e.onset) };
  });
}

/** The grip as it is struck: all of it, the two voices that tell the chord for two notes, its lowest for one. */
function notesOf(e: PhraseEvent, voices: readonly CompVoice[], chord: Chord): PhraseEvent['notes'] {
  const pitched = e.notes.filter((n) => n.kind === 'pitched');
  const count = e.notes.length;
  const some = count > 2 ? voices : count === 2 ? guideTones(voices) : voices.slice(0, 1);
  const rings = pitched.length > 0 && pitched.every((n) => n.letRing);
  const softly = pitched.length > 0 && pitched.every((n) => n.ghost);
  return byString(
    some.map(({ string, fret, midi, degree }): Note => {
      const id = `c${e.onset}-${string}`;
      if (pitched.length === 0) return { kind: 'dead', id, string, fret };
      const pitch = degreeNearMidi(chord.root, degree, midi);
      // A tone of a chord that can be written is within two accidentals.
      if (pitch === null) throw new RangeError('a chord tone beyond double accidentals');
      return {
        ...{ kind: 'pitched', id, pitch, string, fret },
        ...(softly ? { ghost: true } : {}),
        ...(rings ? { letRing: true } : {}),
      };
    }),
  );
}

/**
 * Two voices that say which chord it is (*common practice*, guide tones): its third and its seventh; 4 or 2
 * stand for the third of a suspended chord, 6 for a seventh that is not there. Where one of them is missing, the
 * other and its upper neighbour; where both are, the two upper voices.
 */
function guideTones(voices: readonly CompVoice[]): readonly CompVoice[] {
  const first = (...numbers: readonly number[]) =>
    numbers.flatMap((n) => voices.filter((v) => v.degree.number === n))[0];
  const third = first(3, 4, 2);
  const seventh = first(7, 6);
  const one = third ?? seventh;
  if (one === undefined) return voices.slice(-2);
  if (third !== undefined && seventh !== undefined) {
    return voices.filter((v) => v === third || v === seventh);
  }
  const at = voices.indexOf(one);
  return at === voices.length - 1 ? voices.slice(-2) : voices.slice(at, at + 2);
}

function framed(
  under: Phrase,
  rhythm: Phrase,
  strokes: readonly PhraseEvent[],
  { id, now, title }: RecordBirth,
): Phrase {
  const own = barSpans(rhythm).filter((s) => s.number > 0);
  const tuplets = barSpans(under).flatMap((bar) => {
    if (bar.number === 0) return [];
    const from = own[(bar.number - 1) % own.length]!;
    return rhythm.voices[0].tuplets
      .filter((t) => t.onset >= from.start && t.onset < from.end)
      .map((t) => ({ ...t, onset: bar.start + t.onset - from.start }))
      .filter((t) => t.onset + t.duration <= bar.end);
  });
  const events = strokes.map(({ graces: _, rake: __, guessed: ___, ...e }) => e);
  const { key, tempo, feel, pickup, bars, length, chords } = under;
  return {
    ...{ format: 'degreewise-phrase', version: PHRASE_VERSION, id, parent: null },
    meta: {
      title,
      source: `Strokes of “${shownTitle(rhythm.meta)}”`,
      tags: [],
      created: now,
      modified: now,
    },
    instrument: BACKING_GUITAR,
    ...{ key, tempo, feel, pickup, bars, length, chords },
    voices: [{ events, tuplets }],
    marks: [],
  };
}
