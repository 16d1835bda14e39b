import { FACTS_VERSION } from '../core/library/facts';
import { KINDS } from '../io/kinds/kinds';
import type { KeptFront, ReadFront } from './backend';
import { openFacts } from './facts-shelf';
import { areWhole, endOf } from './head-log';
import { type Item, readRecord } from './record';
import type { Db } from './schema';
import { sumOf } from './seal';

/** Key of what the list begins with, among the blocks of facts, which have keys from 1. */
const FIRST = 0;
/** So many phrases are read before the library is open: more than a window shows. */
const SHOWN = 12;

/**
 * What a long list began with when it was shown last. It lies in another database than the records,
 * and counts only where their log ends as it did then: a kill between two writes, a lost end or a
 * copy brought back and it is not believed.
 * @param copied Whether the database has a second copy: what was not compared with it may change.
 */
export async function readFront(db: Db, name: string, copied: boolean): Promise<ReadFront | null> {
  const [end, whole, fresh, block] = await Promise.all([
    endOf(db),
    areWhole(db, KINDS),
    db.get('meta', 'fresh'),
    openFacts(`${name}-facts`).then((facts) => facts.get('blocks', FIRST)),
  ]);
  if (block?.sum !== sumOf(block?.text ?? '')) return null;
  if (block.version !== FACTS_VERSION || !whole || (copied && fresh !== undefined)) return null;
  // This program wrote it; what earlier versions wrote had no sum.
  const { end: then, total, first } = JSON.parse(block.text) as KeptFront;
  if (then.row !== end.row || then.sum !== end.sum) return null;
  const some = first.slice(0, SHOWN);
  const records = db.transaction('records').store;
  const values = await Promise.all(some.map(async ({ id }) => records.get(id)));
  const items = some.flatMap(({ id, sum }, i): Item[] => {
    const read = readRecord({ key: id, value: values[i] }, KINDS);
    return read.kind === 'item' && read.item.sealed && read.item.stored.sum === sum
      ? [read.item]
      : [];
  });
  return items.length < some.length ? null : { end, total, first, items };
}

/** Keeps what a list begins with for the next opening. */
export async function writeFront(name: string, front: KeptFront): Promise<void> {
  const facts = await openFacts(`${name}-facts`);
  const text = JSON.stringify(front);
  await facts.put('blocks', { version: FACTS_VERSION, text, sum: sumOf(text) }, FIRST);
}
