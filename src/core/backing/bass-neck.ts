import { openMidi } from '../phrase/instrument';
import type { Instrument } from '../phrase/types';
import type { Midi } from '../theory/pitch';
import type { Stopped } from './types';

/** A bass of four strings, E1 A1 D2 G2, 864 mm (common practice). */
export const BACKING_BASS: Instrument = {
  name: 'Bass',
  tuning: [
    { letter: 'G', alter: 0, octave: 2 },
    { letter: 'D', alter: 0, octave: 2 },
    { letter: 'A', alter: 0, octave: 1 },
    { letter: 'E', alter: 0, octave: 1 },
  ],
  frets: 20,
  scaleLength: 864,
  capo: 0,
  clef: 'bass-8',
};

/** Strings and frets for a line: the hand moves as little as it can, low frets first. */
export function bassPlaces(line: readonly Midi[]): readonly Stopped[] {
  let states: readonly State[] = [];
  line.forEach((midi, i) => {
    const own = BACKING_BASS.tuning.flatMap((_, k) => {
      const fret = midi - openMidi(BACKING_BASS, k + 1);
      return fret < 0 || fret > BACKING_BASS.frets ? [] : [{ midi, string: k + 1, fret }];
    });
    states = own.map((place): State => {
      const high = 0.3 * Math.max(0, place.fret - 5);
      if (i === 0) return { place, hand: Math.max(1, place.fret), cost: high, before: null };
      let best: State | null = null;
      for (const before of states) {
        // An open string leaves the hand where it is.
        const hand = place.fret === 0 ? before.hand : place.fret;
        const shift = Math.max(0, Math.abs(hand - before.hand) - 2);
        const cross = 0.2 * Math.abs(place.string - before.place.string);
        const cost = before.cost + shift + cross + high;
        if (best === null || cost < best.cost) best = { place, hand, cost, before };
      }
      return best ?? { place, hand: place.fret, cost: high, before: null };
    });
  });
  let end = states.reduce<State | null>((a, b) => (a === null || b.cost < a.cost ? b : a), null);
  const out: Stopped[] = [];
  for (; end !== null; end = end.before) out.push(end.place);
  return out.reverse();
}

interface State {
  readonly place: Stopped;
  readonly hand: number;
  readonly cost: number;
  readonly before: State | null;
}
