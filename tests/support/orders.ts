import * as z from 'zod/mini';
import { fail, ok } from '../../src/core/result';
import { migrate, migrationSequence, type RawDocument } from '../../src/io/json/migrate';
import type { Kind } from '../../src/io/kinds/kind';

/*
 * A kind of the tests' own, beside phrases: what a row brings is all that there is to a kind.
 */

/** A shopping list of strings; version 2 counts them. */
export interface Order {
  readonly format: 'degreewise-order';
  readonly version: 2;
  readonly id: string;
  readonly parent: string | null;
  readonly title: string;
  readonly sets: number;
  /** Id of the phrase that they are for. */
  readonly phrase?: string;
  readonly created: string;
  readonly modified: string;
}

const schema = z.strictObject({
  format: z.literal('degreewise-order'),
  version: z.literal(2),
  id: z.string(),
  parent: z.nullable(z.string()),
  title: z.string(),
  sets: z.number().check(z.gte(0)),
  phrase: z.exactOptional(z.string()),
  created: z.string(),
  modified: z.string(),
});

const versions = migrationSequence('degreewise-order', [
  { to: 2, change: 'sets are counted', migrate: (d) => ({ ...d, sets: 1 }) },
]);

export const ORDERS: Kind<Order> = {
  name: 'order',
  noun: 'string order',
  versions,
  decode(input) {
    try {
      const raw = typeof input === 'string' ? JSON.parse(input) : input;
      const newest = migrate(versions, Object(raw) as RawDocument);
      if (!newest.ok) return newest;
      const read = z.safeParse(schema, newest.value);
      return read.success ? ok(read.data) : fail({ message: read.error.message });
    } catch (e) {
      return fail({ message: String(e) });
    }
  },
  identityOf: ({ id, parent, title, created, modified }) => {
    return { id, parent, title, created, modified };
  },
  withIdentity: (order, identity) => ({ ...order, ...identity }),
  withReferences: (order, to) =>
    order.phrase === undefined ? order : { ...order, phrase: to('phrase', order.phrase) },
};

export const TIME = '2026-03-01T00:00:00Z';
export const order = (id: string, title: string, sets = 1): Order => ({
  format: 'degreewise-order',
  version: 2,
  id,
  parent: null,
  title,
  sets,
  created: TIME,
  modified: TIME,
});
