import type { Phrase } from './types';

/**
 * A number that stands for a phrase: equal for equal phrases, whatever the order of their keys and
 * whenever they were changed, and different for different ones but for a chance of 1 in 2^53.
 * @returns a whole number from 0 to 2^53 - 1.
 */
export function fingerprintOf(phrase: Phrase): number {
  return fingerprintOfData({ ...phrase, meta: { ...phrase.meta, modified: '' } });
}

/** The same for any plain data; what is undefined counts as missing. */
export function fingerprintOfData(data: unknown): number {
  const text = canonical(data);
  let high = 0x811c9dc5;
  let low = 0x2545f491;
  for (let i = 0; i < text.length; i++) {
    const unit = text.charCodeAt(i);
    // FNV-1a (Fowler, Noll and Vo), and a second lane that turns its bits before each step.
    high = Math.imul(high ^ unit, 0x01000193);
    low = Math.imul(((low << 7) | (low >>> 25)) ^ unit, 0x9e3779b1);
  }
  return (spread(high) >>> 11) * 2 ** 32 + spread(low ^ high);
}

/** Lets each bit act on all others; without it the last characters would hardly reach the low bits. */
function spread(lane: number): number {
  const once = Math.imul(lane ^ (lane >>> 16), 0x85ebca6b);
  const twice = Math.imul(once ^ (once >>> 13), 0xc2b2ae35);
  return (twice ^ (twice >>> 16)) >>> 0;
}

/** JSON with the keys of each object in order. */
function canonical(data: unknown): string {
  if (Array.isArray(data)) return `[${data.map(canonical).join(',')}]`;
  if (typeof data !== 'object' || data === null) return JSON.stringify(data) ?? 'null';
  const entries = Object.entries(data)
    .filter(([, value]) => value !== undefined)
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([key, value]) => `${JSON.stringify(key)}:${canonical(value)}`);
  return `{${entries.join(',')}}`;
}
