import { Dice } from './generate/dice';

type Json = null | boolean | number | string | Json[] | { [key: string]: Json };

/**
 * A copy of a JSON value with one thing changed at a place chosen by the seed: a field taken out,
 * doubled or misnamed, a value of another type, out of range, or almost right.
 */
export function mutate(value: unknown, seed: number): unknown {
  const d = new Dice(seed, 0);
  const copy = JSON.parse(JSON.stringify(value)) as Json;
  const holders: (Json[] | { [key: string]: Json })[] = [];
  collect(copy, holders);
  const holder = d.pick(holders);
  if (Array.isArray(holder)) mutateList(d, holder);
  else mutateObject(d, holder);
  return copy;
}

function collect(value: Json, holders: (Json[] | { [key: string]: Json })[]): void {
  if (typeof value !== 'object' || value === null) return;
  holders.push(value);
  for (const child of Object.values(value)) collect(child, holders);
}

function mutateList(d: Dice, list: Json[]): void {
  const at = d.int(0, Math.max(0, list.length - 1));
  switch (d.int(0, 4)) {
    case 0:
      list.splice(at, 1);
      break;
    case 1:
      list.push(list[at] ?? null);
      break;
    case 2:
      list.length = 0;
      break;
    case 3:
      list.push(d.pick(ODD));
      break;
    default:
      list[at] = d.pick(ODD);
  }
}

function mutateObject(d: Dice, object: { [key: string]: Json }): void {
  const keys = Object.keys(object);
  const key = keys.length === 0 ? 'kind' : d.pick(keys);
  switch (d.int(0, 5)) {
    case 0:
      delete object[key];
      break;
    case 1:
      object[`${key}s`] = object[key] ?? null;
      break;
    case 2:
      object[d.pick(FIELDS)] = d.pick(ODD);
      break;
    case 3:
      object[key] = nearby(d, object[key] ?? null);
      break;
    default:
      object[key] = d.pick(ODD);
  }
}

/** A value of the same type that may or may not be allowed. */
function nearby(d: Dice, value: Json): Json {
  if (typeof value === 'number')
    return d.pick([value + 1, value - 1, -value, value * 3, value + 0.5]);
  if (typeof value === 'string') return d.pick(WORDS);
  if (typeof value === 'boolean') return !value;
  return Array.isArray(value) ? {} : [];
}

const ODD: readonly Json[] = [
  ...[null, true, false, 0, -1, 0.5, 1e300, 100_000_000_001, '', 'x', '1'],
  ...[[], {}, [0], { kind: 'bend' }],
];
const WORDS = [
  '',
  ' ',
  'pitched',
  'dead',
  'curl',
  'pre-bend',
  'up',
  'below',
  'swing',
  'minor',
  'A',
];
const FIELDS = ['bend', 'attack', 'kind', 'ending', 'level', 'slideIn', '__proto__', 'constructor'];
