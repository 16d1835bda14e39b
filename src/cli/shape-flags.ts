import { STANDARD_GUITAR } from '../core/phrase/instrument';
import { instrumentFrom, readInstrument } from '../core/phrase/instruments';
import type { Instrument } from '../core/phrase/types';
import { fail, ok, type Result } from '../core/result';
import { SHAPE_KINDS, type ShapeKind } from '../core/shapes/types';
import { type Chord, parseChord } from '../core/theory/chord';
import { readWhole } from './flag-values';
import type { Flag, Flags } from './flags';

/** What `shapes` is asked for. */
export interface ShapesOptions {
  readonly chords: readonly Chord[];
  readonly instrument: Instrument;
  readonly kinds: readonly ShapeKind[];
  readonly strings?: readonly number[];
  readonly near?: number;
  readonly json: boolean;
}

/** The options of `shapes` but for help. */
export const SHAPES: readonly Flag[] = [
  { name: 'tuning', takes: 'value' },
  { name: 'capo', takes: 'value' },
  { name: 'kind', takes: 'value' },
  { name: 'strings', takes: 'value' },
  { name: 'near', takes: 'value' },
  { name: 'json', takes: 'nothing' },
];

/** What kinds are called on the command line. */
const KIND_NAMES: Readonly<Record<string, ShapeKind>> = {
  'double-stops': 'double stop',
  triads: 'triad',
  shells: 'shell',
  'four-note': 'four-note',
};

export function readShapesOptions(flags: Flags): Result<ShapesOptions> {
  const { values, positionals } = flags;
  const texts = positionals.flatMap((p) => p.split(',')).map((t) => t.trim());
  if (texts.length === 0) {
    return fail({ message: 'no chord is named', fix: 'Write one or more: G7, or G7,C7,D7.' });
  }
  const chords: Chord[] = [];
  for (const text of texts) {
    const chord = parseChord(text);
    if (!chord.ok) return chord;
    chords.push(chord.value);
  }
  const instrument = instrumentNamed(values.get('tuning'));
  if (!instrument.ok) return instrument;
  const capo = readWhole(flags, 'capo', 0, instrument.value.frets - 1);
  if (!capo.ok) return capo;
  const near = readWhole(flags, 'near', 0, instrument.value.frets);
  if (!near.ok) return near;
  const strings = readStrings(values.get('strings'), instrument.value.tuning.length);
  if (!strings.ok) return strings;
  const kinds = readKinds(values.get('kind'));
  if (!kinds.ok) return kinds;
  return ok({
    chords,
    instrument: { ...instrument.value, capo: capo.value ?? 0 },
    kinds: kinds.value,
    json: values.has('json'),
    ...(near.value === undefined ? {} : { near: near.value }),
    ...(strings.value === undefined ? {} : { strings: strings.value }),
  });
}

/** `dropD`, `drop D`, `ukulele`, or pitches from the first string on: `E4 B3 G3 D3 A2 E2`. */
function instrumentNamed(text: string | undefined): Result<Instrument> {
  if (text === undefined) return ok(STANDARD_GUITAR);
  const wish = readInstrument(text);
  return wish.ok ? ok(instrumentFrom(STANDARD_GUITAR, wish.value)) : wish;
}

function readStrings(
  text: string | undefined,
  most: number,
): Result<readonly number[] | undefined> {
  if (text === undefined) return ok(undefined);
  const strings = text.split(',').map((s) => Number(s.trim()));
  if (strings.every((s) => Number.isInteger(s) && s >= 1 && s <= most)) {
    return ok([...new Set(strings)].sort((a, b) => a - b));
  }
  return fail({
    message: `'${text}' is no value of --strings`,
    fix: `Write numbers from 1 to ${most} with commas, as in 2,3,4.`,
  });
}

function readKinds(text: string | undefined): Result<readonly ShapeKind[]> {
  if (text === undefined) return ok(SHAPE_KINDS);
  const kinds: ShapeKind[] = [];
  for (const name of text.split(',')) {
    const kind = KIND_NAMES[name.trim()];
    if (kind === undefined) {
      return fail({
        message: `'${name}' is no value of --kind`,
        fix: `Use ${Object.keys(KIND_NAMES).join(', ')}.`,
      });
    }
    kinds.push(kind);
  }
  return ok(kinds);
}
