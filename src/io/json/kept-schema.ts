import * as z from 'zod/mini';
import { EARLIER_VERSION, KEPT_VERSION } from '../../core/library/thinning';
import { time } from './schema';
import { doc, text, whole } from './schema-parts';

const kept = doc(time, 'ISO 8601 in UTC: when something else took its place.');
const why = doc(
  z.enum(['edit', 'restore', 'merge']),
  'What took its place: a change, an earlier version, or another of two versions.',
);
const versioned = z.looseObject({ format: text(1, 100), version: whole(1, 1_000_000) });

/** The structure of an earlier version of a phrase; the phrase in it is read like any other. */
export const keptSchema = z.strictObject({
  format: z.literal('degreewise-version'),
  version: z.literal(KEPT_VERSION),
  kept,
  why,
  phrase: doc(
    versioned,
    'As it stood, a phrase of whatever version; its id says of which phrase it is.',
  ),
});

/** The structure of an earlier version of anything else; what is in it is read like any other. */
export const earlierSchema = z.strictObject({
  format: z.literal('degreewise-earlier'),
  version: z.literal(EARLIER_VERSION),
  kept,
  why,
  thing: doc(
    versioned,
    'As it stood, a lesson, song form, collection or plan of whatever version; its format and id say of what it is.',
  ),
});
