import * as z from 'zod/mini';
import { KEPT_VERSION } from '../../core/library/versions';
import { time } from './schema';
import { doc, text, whole } from './schema-parts';

/** The structure of an earlier version of a phrase; the phrase in it is read like any other. */
export const keptSchema = z.strictObject({
  format: z.literal('degreewise-version'),
  version: z.literal(KEPT_VERSION),
  kept: doc(time, 'ISO 8601 in UTC: when something else took its place.'),
  why: doc(
    z.enum(['edit', 'restore', 'merge']),
    'What took its place: a change, an earlier version, or another of two versions.',
  ),
  phrase: doc(
    z.looseObject({ format: text(1, 100), version: whole(1, 1_000_000) }),
    'As it stood, a phrase of whatever version; its id says of which phrase it is.',
  ),
});
