import type { Command, KeyFor } from './command';
import { typeFret } from './commands/frets';
import { choose, go, goTo, step } from './commands/go';
import { STRUCTURE } from './commands/structure';
import { TECHNIQUES } from './commands/techniques';
import { WRITING } from './commands/writing';
import type { Reading } from './state';

/**
 * Every command there is, in the order of the list that is shown: menus, hints, keys and the help
 * page are made from this table and from nothing else.
 */
export const COMMANDS: readonly Command[] = [
  go,
  step,
  goTo,
  typeFret,
  ...WRITING,
  ...TECHNIQUES,
  choose,
  ...STRUCTURE,
];

const BY_ID: ReadonlyMap<string, Command> = new Map(COMMANDS.map((c) => [c.id, c]));

/** The command of an id that was stored or sent; null where there is none. */
export function commandOf(id: string): Command | null {
  return BY_ID.get(id) ?? null;
}

/** What a key does. */
export interface Bound {
  readonly command: Command;
  readonly value: unknown;
}

/**
 * What a key does while digits are read in one way; null for a key that does nothing. Names of keys
 * as in `KeyFor`.
 */
export function boundTo(key: string, reading: Reading): Bound | null {
  return bindings(reading).get(key) ?? null;
}

const TABLES = new Map<Reading, ReadonlyMap<string, Bound>>();

function bindings(reading: Reading): ReadonlyMap<string, Bound> {
  const known = TABLES.get(reading);
  if (known !== undefined) return known;
  const table = new Map<string, Bound>();
  for (const command of COMMANDS) {
    for (const k of command.keys) {
      if (k.reading !== undefined && !k.reading.includes(reading)) continue;
      if (table.has(k.key)) {
        throw new RangeError(`${k.key} is bound twice while digits are read as a ${reading}`);
      }
      table.set(k.key, { command, value: k.value });
    }
  }
  TABLES.set(reading, table);
  return table;
}

/** The keys that do a thing, in any reading, for menus and help. */
export function keysOf(command: Command, value?: unknown): readonly KeyFor<unknown>[] {
  return command.keys.filter((k) => k.value === value);
}
