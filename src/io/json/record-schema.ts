import * as z from 'zod/mini';
import { time } from './schema';
import { doc, identity, orNull } from './schema-parts';

/** What every record but a phrase begins with, behind format and version. */
export const head = { id: doc(identity, 'Stable over edits.'), parent: orNull(identity) };

/** When a record was made and changed. */
export const times = {
  created: doc(time, 'ISO 8601 in UTC.'),
  modified: doc(time, 'ISO 8601 in UTC.'),
};

/** Year, month and day; that the month has such a day is checked elsewhere. */
export const day = doc(
  z.string().check(z.regex(/^\d{4}-(?:0[1-9]|1[0-2])-(?:0[1-9]|[12]\d|3[01])$/)),
  'Calendar day.',
);
