import { formOfBars } from '../../src/core/backing/form';
import { BACKING_FEELS, type BackingFeel, type BackingForm } from '../../src/core/backing/types';
import type { LaneChord } from '../../src/core/move/request';
import type { Meter } from '../../src/core/phrase/types';
import { parseChord } from '../../src/core/theory/chord';
import { twelveKeys } from '../../src/core/theory/key';
import { QUALITIES } from './forms';
import { Dice, STREAM } from './generate/dice';

const ROOTS = ['C', 'C#', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'Gb', 'G', 'Ab', 'A', 'Bb', 'B', 'Cb'];
const METERS: readonly Meter[] = [
  ...([2, 3, 4, 4, 4, 5, 6, 7] as const).map((beats): Meter => ({ beats, beatType: 4 })),
  ...([3, 5, 6, 7, 9, 12] as const).map((beats): Meter => ({ beats, beatType: 8 })),
  { beats: 2, beatType: 2 },
];

/** A lane of any chords over any roots, with N.C. now and then, in some metre, and a feel. */
export function seededLane(seed: number): {
  readonly form: BackingForm;
  readonly feel: BackingFeel;
} {
  const d = new Dice(seed, STREAM.lane);
  const meter = d.pick(METERS);
  const bars = Array.from({ length: d.int(1, 24) }, () =>
    Array.from(
      { length: meter.beats >= 4 && meter.beatType === 4 ? d.pick([1, 1, 1, 2, 2, 4]) : 1 },
      () => laneChord(d),
    ),
  );
  const key = d.pick(
    twelveKeys({
      tonic: { letter: 'C', alter: 0 },
      mode: d.pick(['major', 'minor', 'blues'] as const),
    }),
  );
  const made = formOfBars({ key, meter, tempo: { bpm: d.int(40, 260), unit: 'quarter' }, bars });
  if (!made.ok) throw new Error(made.problems[0]!.message);
  return { form: made.value, feel: d.pick(BACKING_FEELS) };
}

function laneChord(d: Dice): LaneChord {
  if (d.chance(0.04)) return null;
  const root = d.pick(ROOTS);
  const [, rest = ''] = /^C(.*)$/u.exec(d.pick(QUALITIES)) ?? [];
  // A bass other than the root belongs to C alone.
  const read = parseChord(root + rest.replace(/\/[A-G]b?$/u, ''));
  if (!read.ok) throw new Error(read.problems[0]!.message);
  return read.value;
}
