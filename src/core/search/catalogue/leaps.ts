import type { Bits } from './bits';
import { longs } from './column';
import { MARK, type NotePool } from './pool';
import { NO_DEGREE } from './sheet';

/*
 * What the rows with turns of a phrase can be, as bits: without them a row that says higher or lower has the notes of
 * nearly all phrases looked at. `near` is from one event to the next in its voice, `far` to any later one; events
 * of dead notes alone are passed over, as in a row.
 */

/** Places of the parts in the words of one phrase. A change of what they mean changes the layout of a kept index. */
export const LEAP = {
  /** Up to `MOST_TURNS` turns one after the other, a bit each, see `turnsBit`; two words each. */
  near: 0,
  far: 2,
  /** Two degrees, the second higher or lower, hashed: so many words. */
  nearPairs: 4,
  farPairs: 12,
  nearTonicPairs: 28,
  farTonicPairs: 36,
} as const;

const LEAP_WORDS = 52;
const NEAR_WORDS = 8;
const FAR_WORDS = 16;

/** Longer rows of turns are told by each so many of them. */
export const MOST_TURNS = 5;

/** The bit, from 0 to 61, that stands for one to five turns in their order. @param ups Whether each goes up. */
export function turnsBit(ups: readonly boolean[]): number {
  return ups.reduce((bit, up) => 2 * bit + 2 + Number(up), -1);
}

/** The bit that stands for two degrees near each other of which the second is higher or lower. */
export function leapBit(first: number, second: number, up: boolean, far: boolean): number {
  const code = (first * 36 + second) * 2 + Number(up) + 1;
  return (Math.imul(code, 0x9e37_79b1) >>> 8) % (32 * (far ? FAR_WORDS : NEAR_WORDS));
}

/** So many phrases lie together, as a power of two. */
const SLAB = 10;
const SLAB_WORDS = (1 << SLAB) >>> 5;
const SLAB_SIZE = 32 * LEAP_WORDS * SLAB_WORDS;

/**
 * The bits of all phrases, by bit and not by phrase: what a row asks are two or three bits of every phrase, which are then
 * read one after the other instead of from all over the memory.
 */
export class Leaps {
  readonly column = longs();

  /** Writes down the notes of a phrase. @param n Its number. */
  add(n: number, pool: NotePool, first: number, end: number): void {
    const slab = (n >>> SLAB) * SLAB_SIZE;
    while (this.column.length < slab + SLAB_SIZE) this.column.push(0);
    const { values } = this.column;
    const at = slab + ((n >>> 5) & (SLAB_WORDS - 1));
    for (const [i, word] of leapsOf(pool, first, end).entries()) {
      for (let left = word; left !== 0; left &= left - 1) {
        const bit = 32 * i + 31 - Math.clz32(left & -left);
        values[at + bit * SLAB_WORDS]! |= 1 << (n & 31);
      }
    }
  }

  /** Keeps the phrases that have all of some bits. */
  keep(within: Bits, bits: readonly number[]): void {
    const { words } = within;
    const { values } = this.column;
    for (let from = 0, slab = 0; from < words.length; from += SLAB_WORDS, slab += SLAB_SIZE) {
      const many = Math.min(SLAB_WORDS, words.length - from);
      for (const bit of bits) {
        const at = slab + bit * SLAB_WORDS;
        // Behind the last phrase there is none.
        for (let i = 0; i < many; i++) words[from + i]! &= values[at + i] ?? 0;
      }
    }
  }
}

/** The words of the notes of one phrase. */
function leapsOf(pool: NotePool, first: number, end: number): Uint32Array {
  const out = new Uint32Array(LEAP_WORDS);
  const { start, heard, keyStart, keyHeard } = pool;
  for (let from = first, to: number; from < end; from = to) {
    to = from + 1;
    while (to < end && (pool.mark.values[to]! & MARK.voice) === 0) to++;
    const events = eventsIn(pool, from, to);
    addTurns(out, pool.midi.values, events);
    addPairs(out, pool, events, [start.values, heard.values], [LEAP.nearPairs, LEAP.farPairs]);
    addPairs(
      out,
      pool,
      events,
      [keyStart.values, keyHeard.values],
      [LEAP.nearTonicPairs, LEAP.farTonicPairs],
    );
  }
  return out;
}

/** The notes with a pitch of each event of one voice that has any. */
function eventsIn(pool: NotePool, from: number, to: number): readonly (readonly number[])[] {
  const events: number[][] = [];
  let here: number[] = [];
  for (let i = from; i < to; i++) {
    if ((pool.mark.values[i]! & MARK.event) !== 0) here = [];
    if (pool.midi.values[i] === 0) continue;
    if (here.length === 0) events.push(here);
    here.push(i);
  }
  return events;
}

/** The turns that can end on a note of each event, from those that could end before. */
function addTurns(
  out: Uint32Array,
  midis: Uint8Array,
  events: readonly (readonly number[])[],
): void {
  // By height: what ends there on the event before, and on any before; −1 where no note is.
  const near = new Map<number, number>();
  const far = new Map<number, number>();
  for (const event of events) {
    const fresh: [midi: number, near: number, far: number][] = [];
    for (const i of event) {
      const midi = midis[i]!;
      fresh.push([midi, goOn(out, LEAP.near, near, midi), goOn(out, LEAP.far, far, midi)]);
    }
    near.clear();
    for (const [midi, n, f] of fresh) {
      near.set(midi, (near.get(midi) ?? 0) | n);
      far.set(midi, (far.get(midi) ?? 0) | f);
    }
  }
}

/** Writes down the turns that can end on a note. @returns those of them that can go on. */
function goOn(
  out: Uint32Array,
  at: number,
  before: ReadonlyMap<number, number>,
  midi: number,
): number {
  let [below, above, isBelow, isAbove] = [0, 0, 0, 0];
  for (const [height, turns] of before) {
    if (height < midi) [below, isBelow] = [below | turns, 1];
    else if (height > midi) [above, isAbove] = [above | turns, 1];
  }
  // Bit n goes to 2n + 2, and one further up; that of no turns at all would be −1.
  const low = (spread(below) << 3) | (spread(above) << 2) | (isBelow << 1) | isAbove;
  out[at]! |= low;
  out[at + 1]! |= (spread(below >>> 15) << 1) | spread(above >>> 15);
  return low;
}

/** The lowest fifteen bits with a place between each two. */
function spread(bits: number): number {
  let x = bits & 0x7fff;
  x = (x | (x << 8)) & 0x00ff_00ff;
  x = (x | (x << 4)) & 0x0f0f_0f0f;
  x = (x | (x << 2)) & 0x3333_3333;
  return (x | (x << 1)) & 0x5555_5555;
}

function addPairs(
  out: Uint32Array,
  pool: NotePool,
  events: readonly (readonly number[])[],
  columns: readonly Uint8Array[],
  [near, far]: readonly [number, number],
): void {
  const midis = pool.midi.values;
  /** Degrees with their heights, as one number, of the event before and of all before. */
  let before: readonly number[] = [];
  const ever = new Set<number>();
  for (const event of events) {
    const here = new Set<number>();
    for (const i of event) {
      for (const degrees of columns) {
        if (degrees[i] !== NO_DEGREE) here.add(degrees[i]! * 128 + midis[i]!);
      }
    }
    for (const b of here) {
      for (const a of before) setPair(out, near, a, b, false);
      for (const a of ever) setPair(out, far, a, b, true);
    }
    before = [...here];
    for (const b of here) ever.add(b);
  }
}

function setPair(out: Uint32Array, at: number, a: number, b: number, far: boolean): void {
  const rise = (b & 127) - (a & 127);
  if (rise === 0) return;
  const bit = leapBit(a >> 7, b >> 7, rise > 0, far);
  out[at + (bit >>> 5)]! |= 1 << (bit & 31);
}
