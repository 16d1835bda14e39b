import * as z from 'zod/mini';
import { LIMITS } from './limits';

// Schemas are compiled by zod with `new Function` unless told not to; a page whose content security
// policy forbids that would report a violation. Set before the first schema is made.
z.config({ jitless: true });

/** Names and descriptions for the published JSON Schema. */
export const docs = z.registry<{ id?: string; title?: string; description?: string }>();

/** The schema with a description of its own in the published JSON Schema. */
export function doc<S extends z.core.$ZodType>(schema: S, description: string): S {
  const own = z.clone(schema);
  docs.add(own, { description });
  return own;
}

/** Describes a schema and gives it a name of its own in the published JSON Schema. */
export function named<S extends z.core.$ZodType>(id: string, description: string, schema: S): S {
  docs.add(schema, { id, description });
  return schema;
}

/** Said of a value of the wrong kind where there may also be none. */
export const OR_NULL = 'or null';

/** What the schema reads, or null; whoever writes another value, or none, is told of both. */
export function orNull<S extends z.core.$ZodType>(schema: S) {
  const own = z.clone(schema, { ...schema._zod.def, error: () => OR_NULL }, { parent: true });
  return z.nullable(own);
}

/** A whole number between two, both allowed. */
export function whole(low: number, high: number) {
  return z.int().check(z.gte(low), z.lte(high));
}

/** A text of so many characters at least and at most. */
export function text(low: number, high: number) {
  return z.string().check(z.minLength(low), z.maxLength(high));
}

export const flag = z.literal(true);

export const identity = named(
  'Id',
  'Printable ASCII without spaces.',
  z.string().check(z.regex(/^[!-~]{1,200}$/)),
);

export const ticks = named(
  'Ticks',
  'Whole ticks, 10,080 to a quarter note; onsets count from the first tick, pickup included.',
  whole(0, LIMITS.ticks),
);

const letter = z.enum(['C', 'D', 'E', 'F', 'G', 'A', 'B']);
const alter = z.literal([-2, -1, 0, 1, 2]);

export const pitch = named(
  'Pitch',
  'A spelled sounding pitch; alter in semitones, octave 4 begins at middle C.',
  z.strictObject({ letter, alter, octave: whole(-1, 9) }),
);

export const pitchClass = named(
  'PitchClass',
  'A letter with its alteration, in no particular octave.',
  z.strictObject({ letter, alter }),
);

export const stringNumber = named(
  'String',
  'String 1 is the first string.',
  whole(1, LIMITS.strings),
);

export const fret = named('Fret', 'Fret 0 is the nut or the capo.', whole(0, LIMITS.frets));
