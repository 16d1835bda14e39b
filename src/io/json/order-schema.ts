import * as z from 'zod/mini';
import { COLLECTION_VERSION, MOST_IN_COLLECTION, PURPOSES } from '../../core/library/collection';
import { PAIR_VERSION } from '../../core/library/pair';
import { SEARCH_VERSION } from '../../core/library/saved-search';
import { USE_VERSION } from '../../core/library/use';
import { day, head, times } from './record-schema';
import { doc, identity, text } from './schema-parts';

/*
 * The structure of what brings order into a library: collections, saved searches, days of use and pairs
 * of which both are wanted. Field
 * order here is field order in files.
 */

const ids = z.array(identity).check(z.maxLength(MOST_IN_COLLECTION));

export const collectionSchema = z.strictObject({
  format: z.literal('degreewise-collection'),
  version: z.literal(COLLECTION_VERSION),
  ...head,
  meta: z.strictObject({
    title: text(0, 500),
    notes: z.exactOptional(doc(text(1, 20_000), 'What to remember about it.')),
    ...times,
  }),
  purpose: doc(z.enum(PURPOSES), 'What it is for.'),
  phrases: doc(ids, 'Ids of phrases in their order, each once; some may not be in the library.'),
});

const asked = (most: number) => z.exactOptional(text(1, most));

export const searchSchema = z.strictObject({
  format: z.literal('degreewise-search'),
  version: z.literal(SEARCH_VERSION),
  ...head,
  meta: z.strictObject({ title: text(0, 500), ...times }),
  asked: doc(
    z.strictObject({
      find: asked(2_000),
      like: z.exactOptional(identity),
      tags: asked(20_000),
      key: asked(100),
      chord: asked(100),
      levels: asked(100),
      degrees: asked(1_000),
      order: asked(100),
    }),
    'As the address of the library has it; what is not asked is left out.',
  ),
});

export const useSchema = z.strictObject({
  format: z.literal('degreewise-use'),
  version: z.literal(USE_VERSION),
  ...head,
  meta: z.strictObject({
    title: doc(text(0, 500), 'What they were used in; may be empty.'),
    ...times,
  }),
  day,
  phrases: doc(ids, 'Ids of phrases, each once; some may not be in the library.'),
});

export const pairSchema = z.strictObject({
  format: z.literal('degreewise-pair'),
  version: z.literal(PAIR_VERSION),
  ...head,
  meta: z.strictObject({
    title: doc(text(0, 500), 'What the two were called; may be empty.'),
    ...times,
  }),
  phrases: doc(
    z.array(identity).check(z.length(2)),
    'Ids of two phrases that are nearly the same and both wanted; some may not be in the library.',
  ),
});
