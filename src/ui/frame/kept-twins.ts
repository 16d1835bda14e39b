import type { Query } from '../shared/query';

/** What the address of the library asks for to show what is here twice. */
export const TWINS: Query = { twins: 'yes' };

/** Pairs of which somebody said that both are wanted, on this device. */
const KEPT = 'degreewise.twins.kept';

type Pair = readonly [string, string];

/** Says that both of a pair are wanted; nobody is asked about them again on this device. */
export function keepTwins(pair: Pair): void {
  try {
    const before = localStorage.getItem(KEPT) ?? '';
    localStorage.setItem(KEPT, `${before}${before === '' ? '' : '\n'}${pair.join(' ')}`);
  } catch {
    // Storage is switched off for this address: they are asked about again the next time.
  }
}

/** Whether both of a pair are wanted, as it was said last. */
export function keptTwins(): (pair: Pair) => boolean {
  const kept = new Set(read());
  return ([a, b]) => kept.has(`${a} ${b}`) || kept.has(`${b} ${a}`);
}

function read(): readonly string[] {
  try {
    return (localStorage.getItem(KEPT) ?? '').split('\n').filter((line) => line !== '');
  } catch {
    return [];
  }
}
