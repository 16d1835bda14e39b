import { underAnotherName } from '../move/target';
import { openMidi } from '../phrase/instrument';
import { mapEventNotes, mapEvents, mapGraceNotes } from '../phrase/rebuild';
import type { Instrument, Note, Phrase, Ticks } from '../phrase/types';
import { type Chord, chordOf, formatChord, transposeChord } from '../theory/chord';
import { addIntervals, type Interval, octaves, transpose } from '../theory/interval';
import { fifthsOf, type Key, keyInterval, pitchClassAtFifths, settleKey } from '../theory/key';
import { keySign } from '../theory/key-sign';
import { midiOf, mod, type Pitch } from '../theory/pitch';
import { spellAt } from '../understand/spell';

/** A phrase on strings that all sound so much higher or lower, or why it cannot be. */
export type SoundingBy =
  | { readonly ok: true; readonly phrase: Phrase; readonly say: string }
  | { readonly ok: false; readonly because: string };

/**
 * By how many semitones all strings of an instrument sound above those of another; null where they
 * do not go alike, or are not as many.
 */
export function stringsApart(before: Instrument, after: Instrument): number | null {
  if (before.tuning.length !== after.tuning.length) return null;
  const steps = before.tuning.map((_, i) => openMidi(after, i + 1) - openMidi(before, i + 1));
  const first = steps[0]!;
  return steps.every((n) => n === first) ? first : null;
}

/**
 * The same shapes on strings that all sound higher or lower alike: a capo, a guitar tuned down. Every
 * note keeps its place and its degree; pitches, chords and key move by one spelled interval (P2, P5),
 * so that the page says what sounds.
 */
export function soundingBy(p: Phrase, instrument: Instrument): SoundingBy {
  const by = stringsApart(p.instrument, instrument);
  if (by === null) {
    return {
      ok: false,
      because: 'the strings do not all move by the same step, so key and chords cannot go along',
    };
  }
  const key = keyAbove(p.key, by);
  const up = intervalOf(p.key, key, by);
  const chords = p.chords.map((c) => {
    if (c.symbol === null) return c;
    const chord = chordOf(c.symbol);
    const take = (x: Chord) => transposeChord(x, up);
    return { ...c, symbol: formatChord(take(chord) ?? underAnotherName(chord, take)) };
  });
  const frame: Phrase = { ...p, instrument, key, chords };
  return {
    ok: true,
    phrase: mapEvents(frame, (e) => {
      const graced = mapGraceNotes(e, (n) => ({
        ...n,
        pitch: pitchUp(n.pitch, e.onset, frame, up),
      }));
      return mapEventNotes(graced, (n) => noteUp(n, e.onset, frame, up));
    }),
    say: by % 12 === 0 ? '' : `, in ${keySign(key)} now`,
  };
}

/** The key so many semitones above, named by P5. */
function keyAbove(key: Key, by: number): Key {
  if (by % 12 === 0) return key;
  const tonic = pitchClassAtFifths(mod(fifthsOf(key.tonic) + 7 * by, 12));
  if (tonic === null) throw new RangeError('C to E# lie within double accidentals');
  return settleKey({ ...key, tonic }, key);
}

/** From one tonic to the other, so many semitones up or, where negative, down. */
function intervalOf(from: Key, to: Key, by: number): Interval {
  const up = keyInterval(from, to);
  return addIntervals(up, octaves(Math.round((by - up.semitones) / 12)));
}

function noteUp(n: Note, onset: Ticks, frame: Phrase, up: Interval): Note {
  if (n.kind === 'dead') return n;
  const move = (pitch: Pitch) => pitchUp(pitch, onset, frame, up);
  const { bend, trill } = n;
  return {
    ...n,
    pitch: move(n.pitch),
    ...(bend === undefined || bend.shape === 'curl'
      ? {}
      : { bend: { ...bend, target: move(bend.target) } }),
    ...(trill === undefined ? {} : { trill: { upper: move(trill.upper) } }),
  };
}

function pitchUp(pitch: Pitch, onset: Ticks, frame: Phrase, up: Interval): Pitch {
  return transpose(pitch, up) ?? spellAt(frame, onset, midiOf(pitch) + up.semitones);
}
