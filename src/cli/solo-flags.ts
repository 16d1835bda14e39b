import type { FormPlayed } from '../core/form/played';
import { MOST_CHORUSES } from '../core/form/repeat';
import { STANDARD_FORMS, standardForm } from '../core/form/standard';
import type { Form } from '../core/form/types';
import { fail, ok, type Result } from '../core/result';
import type { SoloTaste } from '../core/solo/wanted';
import type { Key } from '../core/theory/key';
import { formatOfName } from '../io/file/formats';
import { readKey, readWhole } from './flag-values';
import type { Flag, Flags } from './flags';
import { PLAYED, readPlayed } from './form-played-flags';
import { type OutputOptions, readOutput } from './output-flags';
import { type PinText, readBars, readPins, readTaste } from './solo-taste-flags';

/** What `solo` is asked for. */
export interface SoloCommand {
  /** A standard form, a file that holds one, or the name of one that lies beside the phrases. */
  readonly form: Form | { readonly file: string } | { readonly named: string };
  /** Tempo, feel and metre where they are not the form's own. */
  readonly played: FormPlayed;
  /** Null: in C. */
  readonly key: Key | null;
  /** Files and folders that phrases are taken from. */
  readonly files: readonly string[];
  readonly seed?: number;
  readonly count: number;
  readonly level?: number;
  readonly chords: boolean;
  /** Times the form is gone through. */
  readonly choruses: number;
  readonly pins: readonly PinText[];
  /** Bars from 1 that stay empty. */
  readonly rests: readonly number[];
  readonly taste: SoloTaste;
  readonly json: boolean;
  readonly output: OutputOptions | null;
}

/** The options of the command beside those of every command that reads and writes. */
export const SOLO: readonly Flag[] = [
  { name: 'form', takes: 'value', reads: true },
  { name: 'from', takes: 'value', reads: true },
  { name: 'key', takes: 'value' },
  ...PLAYED,
  { name: 'seed', takes: 'value' },
  { name: 'count', takes: 'value' },
  { name: 'level', takes: 'value' },
  { name: 'with-chords', takes: 'nothing' },
  { name: 'choruses', takes: 'value' },
  { name: 'pin', takes: 'value' },
  { name: 'leave', takes: 'value' },
  { name: 'course', takes: 'value' },
  { name: 'variety', takes: 'value' },
  { name: 'near', takes: 'nothing' },
  { name: 'wish', takes: 'value' },
  { name: 'json', takes: 'nothing' },
];

const MOST_SOLOS = 20;
const LARGEST_SEED = 2_147_483_647;

/**
 * Reads the options of `solo`.
 * @param more Files named without an option, taken along with those of --from.
 */
export function readSolo(more: readonly string[], flags: Flags): Result<SoloCommand> {
  const id = flags.values.get('form');
  const names = STANDARD_FORMS.map((f) => f.id).join(', ');
  if (id === undefined || id.trim() === '') {
    return fail({
      message: 'the form is missing',
      fix: `Add --form and one of ${names}, the title of a form of your own, or a .json file with one; 'degreewise forms' shows them.`,
    });
  }
  // A file of any kind is read, so that what it holds instead can be told.
  const form =
    standardForm(id) ?? (id !== '-' && formatOfName(id) === null ? { named: id } : { file: id });
  const from = flags.values.get('from');
  const files = [...(from === undefined ? [] : [from]), ...more];
  if (files.length === 0) {
    return fail({
      message: 'where the phrases are is missing',
      fix: 'Add --from and a library file or a folder.',
    });
  }
  if ([id, ...files].filter((f) => f === '-').length > 1) {
    return fail({ message: 'the standard input can be read only once' });
  }
  const key = readKey(flags);
  if (!key.ok) return key;
  const played = readPlayed(flags);
  if (!played.ok) return played;
  const seed = readWhole(flags, 'seed', 0, LARGEST_SEED);
  if (!seed.ok) return seed;
  const count = readWhole(flags, 'count', 1, MOST_SOLOS);
  if (!count.ok) return count;
  const level = readWhole(flags, 'level', 1, 5);
  if (!level.ok) return level;
  const choruses = readWhole(flags, 'choruses', 1, MOST_CHORUSES);
  if (!choruses.ok) return choruses;
  const pins = readPins(flags.values.get('pin'));
  if (!pins.ok) return pins;
  const rests = readBars(flags.values.get('leave'));
  if (!rests.ok) return rests;
  const taste = readTaste(flags);
  if (!taste.ok) return taste;
  const output = readOutput(flags, ['seed']);
  if (!output.ok) return output;
  const json = flags.values.has('json');
  if (json && output.value !== null) {
    return fail({ message: '--json prints and -o writes', fix: 'Use one of the two.' });
  }
  return ok({
    form,
    played: played.value,
    key: key.value,
    files,
    ...(seed.value === undefined ? {} : { seed: seed.value }),
    count: count.value ?? 1,
    ...(level.value === undefined ? {} : { level: level.value }),
    chords: flags.values.has('with-chords'),
    choruses: choruses.value ?? 1,
    pins: pins.value,
    rests: rests.value,
    taste: taste.value,
    json,
    output: output.value,
  });
}
