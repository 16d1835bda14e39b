import { offTuning } from '../../core/heard/tuning';
import type { HeardNote } from '../../core/heard/types';
import { countsFromKey, parseLane } from '../../core/move/lane';
import { lowestOpen, openMidi } from '../../core/phrase/instrument';
import type { ChordChange, Instrument } from '../../core/phrase/types';
import { formatChord } from '../../core/theory/chord';
import { parseKey } from '../../core/theory/key';
import { type ProposedKey, proposeKeys } from '../midi-in/key-found';

/** What must be known of a recording for its key to be guessed. */
export interface KeyOf {
  readonly instrument: Instrument;
  readonly secondsPerTick: number;
  /** A lane of chords, symbols or numerals. */
  readonly lane?: string | undefined;
}

/** Keys in which it may have been played, the likeliest first; three, and none where nothing lies on the instrument. */
export function keysHeard(heard: readonly HeardNote[], o: KeyOf): readonly ProposedKey[] {
  const off = offTuning(heard);
  const notes = inRange(heard, o.instrument, off);
  if (notes.length === 0) return [];
  const sung = notes.map((n) => ({
    at: n.onset / o.secondsPerTick,
    end: n.end / o.secondsPerTick,
    midi: Math.round(n.pitch - off),
  }));
  return proposeKeys(sung, namedChords(o.lane));
}

/** Notes that the instrument has, and no whole beat of them muted away. */
export function inRange(
  notes: readonly HeardNote[],
  instrument: Instrument,
  off: number,
): readonly HeardNote[] {
  const opens = instrument.tuning.map((_, i) => openMidi(instrument, i + 1));
  const low = lowestOpen(instrument) - 0.5;
  const high = Math.max(...opens) + instrument.frets - instrument.capo + 0.5;
  return notes.filter((n) => n.pitch - off >= low && n.pitch - off <= high);
}

/** The chords of a lane that are named and not counted from a key, which is still to be found. */
function namedChords(text: string | undefined): readonly ChordChange[] {
  const read = text === undefined ? null : parseLane(text, parseKey('C')!);
  if (read === null || !read.ok || countsFromKey(text!)) return [];
  const chords = read.value.flat();
  return chords.map((c, i) => ({ onset: i, symbol: c === null ? null : formatChord(c) }));
}
