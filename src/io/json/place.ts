import { problemPlace } from '../../core/phrase/time-words';
import type { Bar, Meter } from '../../core/phrase/types';
import type { Problem } from '../../core/result';
import { valueAt } from './pointer';

type Path = readonly (string | number)[];

/**
 * Bar, beat and string of a path in a phrase that is not yet known to be one: of the event, chord,
 * tuplet, mark or bar it leads into. Empty where the raw phrase does not say.
 */
export function placeOfPath(
  raw: unknown,
  path: Path,
): Pick<Problem, 'bar' | 'beat' | 'said' | 'string'> {
  const string = stringOf(raw, path);
  const position = positionOfPath(raw, path);
  return { ...position, ...(string === null ? {} : { string }) };
}

function positionOfPath(raw: unknown, path: Path): Pick<Problem, 'bar' | 'beat' | 'said'> {
  const [field, index] = path;
  if (field === 'bars' && typeof index === 'number') return { bar: index + 1, beat: 1 };
  const holder =
    field === 'voices'
      ? path.slice(0, 4)
      : field === 'chords' || field === 'marks'
        ? path.slice(0, 2)
        : [];
  if (holder.length === 0 || typeof holder.at(-1) !== 'number') return {};
  const form = readForm(raw);
  const onset = onsetOfEntry(raw, holder);
  return form === null || onset === null ? {} : problemPlace(form, onset);
}

/** The onset of an entry of a list; where it is missing, the place where the one before it ends. */
function onsetOfEntry(raw: unknown, path: Path): number | null {
  const onset = valueAt(raw, [...path, 'onset']);
  if (isWhole(onset)) return onset;
  const index = Number(path.at(-1));
  if (index === 0) return 0;
  const before = [...path.slice(0, -1), index - 1];
  const start = valueAt(raw, [...before, 'onset']);
  const duration = valueAt(raw, [...before, 'duration']);
  return isWhole(start) ? start + (isWhole(duration) ? duration : 0) : null;
}

/** What `positionOf` needs, if the raw phrase has it right. */
function readForm(raw: unknown) {
  const pickup = valueAt(raw, ['pickup']);
  const length = valueAt(raw, ['length']);
  const list = valueAt(raw, ['bars']);
  if (!isWhole(pickup) || !isWhole(length) || !Array.isArray(list) || list.length === 0)
    return null;
  const bars: Bar[] = [];
  for (const bar of list) {
    const meter = readMeter(bar);
    if (meter === null) return null;
    bars.push({ meter });
  }
  return { pickup, length, bars };
}

const BEAT_TYPES = [1, 2, 4, 8, 16] as const;

function readMeter(bar: unknown): Meter | null {
  const beats = valueAt(bar, ['meter', 'beats']);
  const beatType = BEAT_TYPES.find((t) => t === valueAt(bar, ['meter', 'beatType']));
  return isWhole(beats) && beats > 0 && beatType !== undefined ? { beats, beatType } : null;
}

function stringOf(raw: unknown, path: Path): number | null {
  const at = path.lastIndexOf('notes');
  if (path[0] !== 'voices' || at < 0 || typeof path[at + 1] !== 'number') return null;
  const string = valueAt(raw, [...path.slice(0, at + 2), 'string']);
  return isWhole(string) && string > 0 ? string : null;
}

function isWhole(x: unknown): x is number {
  return Number.isSafeInteger(x) && (x as number) >= 0;
}
