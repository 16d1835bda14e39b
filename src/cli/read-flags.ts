import { ok, type Result } from '../core/result';
import type { ReadChoice } from '../io/file/decode-file';
import { readWhole } from './flag-values';
import type { Flag, Flags } from './flags';

/** Most parts of a score, staves of a part, and octaves either way, that can be asked for. */
const MOST_PARTS = 1_000;
const MOST_STAVES = 20;
const MOST_OCTAVES = 4;

/** The options of every command that reads scores. */
export const READ: readonly Flag[] = [
  { name: 'part', takes: 'value' },
  { name: 'staff', takes: 'value' },
  { name: 'octave', takes: 'value' },
];

/** Those of the move, where `--octave` says where the result goes. */
export const READ_FOR_MOVE: readonly Flag[] = [
  { name: 'part', takes: 'value' },
  { name: 'staff', takes: 'value' },
  { name: 'read-octave', takes: 'value' },
];

/** Which part of a score is read, which staff of it, and how many octaves higher. */
export function readReadChoice(
  flags: Flags,
  octaveFlag: 'octave' | 'read-octave',
): Result<ReadChoice> {
  const part = readWhole(flags, 'part', 1, MOST_PARTS);
  if (!part.ok) return part;
  const staff = readWhole(flags, 'staff', 1, MOST_STAVES);
  if (!staff.ok) return staff;
  const octave = readWhole(flags, octaveFlag, -MOST_OCTAVES, MOST_OCTAVES);
  if (!octave.ok) return octave;
  return ok({
    ...(part.value === undefined ? {} : { part: part.value }),
    ...(staff.value === undefined ? {} : { staff: staff.value }),
    ...(octave.value === undefined ? {} : { octave: octave.value }),
  });
}
