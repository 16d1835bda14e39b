import * as z from 'zod/mini';
import { MOST_PAST } from '../../core/library/in-step/decide';
import { doc, identity, orNull, text, whole } from './schema-parts';

/*
 * The structure of a file in a folder that carries a library. What is in it is read by its own kind.
 * Fields that others have put around it are let be.
 */

const version = z.string().check(z.regex(/^[0-9a-f]{16}$/));

const head = {
  format: z.literal('degreewise-carried'),
  version: z.literal(1),
  of: doc(text(1, 100), 'The format of what is in it, or was.'),
  id: doc(identity, 'Of what is in it, or was.'),
  past: doc(
    z.array(version).check(z.maxLength(MOST_PAST)),
    'Versions that later ones took the place of, the latest last.',
  ),
};

export const carriedSchema = z.union([
  z.looseObject({
    ...head,
    is: doc(orNull(version), 'Stands for all that is in it, as it was written.'),
    thing: doc(
      z.looseObject({ format: text(1, 100), version: whole(1, 1_000_000) }),
      'What it carries, in the format that it names.',
    ),
  }),
  z.looseObject({
    ...head,
    is: doc(z.null(), 'Nothing is in it: it was removed.'),
    thing: z.null(),
  }),
]);
