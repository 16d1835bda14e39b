/**
 * A number from 0 up to 1 for a place: the same seed and the same place give the same number, on every
 * machine, whatever was drawn before. So a bar that is changed changes no decision elsewhere.
 * Each word is stirred in with the finalizer of MurmurHash3 (public domain, Austin Appleby; constants
 * from memory): what matters is only that neighbours come out far apart.
 */
export function dice(seed: number, ...place: readonly (number | string)[]): number {
  let h = stir(seed | 0);
  for (const part of place) {
    if (typeof part === 'number') h = stir(h ^ Math.trunc(part));
    else for (let i = 0; i < part.length; i++) h = stir(h ^ part.charCodeAt(i));
  }
  return h / 0x1_0000_0000;
}

function stir(n: number): number {
  let h = (n + 0x9e37_79b9) | 0;
  h = Math.imul(h ^ (h >>> 16), 0x85eb_ca6b);
  h = Math.imul(h ^ (h >>> 13), 0xc2b2_ae35);
  return (h ^ (h >>> 16)) >>> 0;
}

/** One entry of a list, by a number from 0 up to 1. */
export function pick<T>(list: readonly [T, ...T[]], throwOf: number): T {
  return list[Math.min(list.length - 1, Math.floor(throwOf * list.length))] ?? list[0];
}
