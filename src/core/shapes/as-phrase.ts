import { byString } from '../phrase/rebuild';
import {
  type Instrument,
  PHRASE_VERSION,
  type Phrase,
  type PhraseEvent,
  type PitchedNote,
} from '../phrase/types';
import { type Chord, formatChord } from '../theory/chord';
import { degreeNearMidi } from '../theory/degree';
import type { Key } from '../theory/key';
import { pitchOfMidi } from '../theory/pitch';
import type { ChordShape } from './types';

/** A shape with the chord that it is a shape of. */
export interface ShapeOfChord {
  readonly chord: Chord;
  readonly shape: ChordShape;
}

/** What a phrase of shapes is made with; the rest has its usual value. */
export interface ShapeSetting {
  readonly id: string;
  /** ISO 8601 in UTC. */
  readonly now: string;
  readonly instrument: Instrument;
  readonly key: Key;
  readonly tempo: Phrase['tempo'];
  readonly title: string;
  /** Slid into from a semitone below, where that is possible. */
  readonly slideIn: boolean;
}

const HALF = 20_160;
const BAR = 40_320;

/**
 * Shapes as a phrase in 4/4, a bar each under its chord: a half note that can be heard, drawn, moved
 * and put into another phrase.
 */
export function shapesAsPhrase(shapes: readonly ShapeOfChord[], s: ShapeSetting): Phrase {
  const events = shapes.map(({ chord, shape }, i): PhraseEvent => {
    const notes = shape.tones.map(
      (t): PitchedNote => ({
        kind: 'pitched',
        id: `s${i + 1}-${t.string}`,
        pitch: degreeNearMidi(chord.root, t.degree, t.midi) ?? pitchOfMidi(t.midi, 'flat'),
        string: t.string,
        fret: t.fret,
        ...(s.slideIn && shape.slideIn
          ? { slideIn: { kind: 'interval', from: 'below', semitones: 1 } as const }
          : {}),
      }),
    );
    return { onset: i * BAR, duration: HALF, notes: byString(notes) };
  });
  const meter = { beats: 4, beatType: 4 } as const;
  return {
    format: 'degreewise-phrase',
    version: PHRASE_VERSION,
    id: s.id,
    parent: null,
    meta: { title: s.title, tags: [], created: s.now, modified: s.now },
    instrument: s.instrument,
    key: s.key,
    tempo: s.tempo,
    feel: { kind: 'straight' },
    pickup: 0,
    bars: shapes.map(() => ({ meter })),
    length: Math.max(1, shapes.length) * BAR,
    chords: shapes.map(({ chord }, i) => ({ onset: i * BAR, symbol: formatChord(chord) })),
    voices: [{ events, tuplets: [] }],
    marks: [],
  };
}
