import type { Phrase } from '../../src/core/phrase/types';
import { Dice } from './generate/dice';
import { seededPhrase } from './generate/phrase';

const WORDS =
  'amber anchor ash bell blue boat bridge brook cedar chalk cliff cloud coal copper creek dawn door drift dusk ember fern ferry field flint fog forge frost gate glass gravel green gull harbour hazel heron hill ice iron ivy kite lamp lantern larch ledge loft low marsh mast meadow mill mist moss narrow night north oak oar old pier pine quay rain reed ridge river road rope rust salt sand sedge shore slate slip slow smoke snow south spring stair stone storm stream summer tide tin tower turf wall water weir west wharf willow wind winter wood yard'.split(
    ' ',
  );
const TAGS =
  'blues country jazz lesson monday warm-up intro turnaround ending student fast slow'.split(' ');

/** Phrase number `n` of a library as large as one likes: generated notes, a title and tags of its own. */
export function libraryPhrase(n: number): Phrase {
  const d = new Dice(n, 910);
  const p = seededPhrase(n, { maxBars: 3 });
  const title = [d.pick(WORDS), d.pick(WORDS), d.pick(WORDS)].join(' ');
  const tags = TAGS.filter(() => d.chance(0.15));
  const day = String(d.int(1, 28)).padStart(2, '0');
  const modified = `2026-${String(d.int(1, 11)).padStart(2, '0')}-${day}T10:00:00Z`;
  return { ...p, id: `p${n}`, meta: { ...p.meta, title, tags, modified } };
}

/** Of ascending numbers the one below which so large a part of them lies. */
export function quantile(sorted: readonly number[], part: number): number {
  return sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * part))] ?? 0;
}

export function ms(time: number): string {
  return `${time < 10 ? time.toFixed(2) : time.toFixed(0)} ms`;
}

/** Milliseconds that this process has had of the processor. */
export function cpuTime(): number {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000;
}

/** Milliseconds of the processor that some work takes. */
export function timed(work: () => unknown): number {
  const start = cpuTime();
  work();
  return cpuTime() - start;
}
