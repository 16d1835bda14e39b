import { idleDays } from '../../library/use';
import { ROLES } from '../../phrase/types';
import { samePitchClass } from '../../theory/pitch';
import { TECHNIQUE_NAMES, type TechniqueName } from '../query/technique-names';
import type { Atom, NumberAtom, RowAtom } from '../query/types';
import type { Bits } from './bits';
import { type Catalogue, FEELS } from './catalogue';
import { fitsTest } from './fits-test';
import { LEAP, leapBit, MOST_TURNS, turnsBit } from './leaps';
import { type LineTest, rhythmTest, risesTest } from './lines';
import { type ReadyStep, rowTest } from './rows';
import { degreeCode } from './sheet';
import {
  lengthBit,
  lengthPairBit,
  pairBit,
  riseBit,
  SIGNATURE,
  SIGNATURE_WORDS,
  turnBit,
} from './signature';

/** Whether a question holds of a phrase, given by its place in the catalogue. */
export type Test = (n: number) => boolean;

/** What is answered by sets and not phrase by phrase. */
const AS_SETS = [
  'text',
  'numeral',
  'degree',
  'in',
  'member',
  'used',
  'chord',
  'change',
  'row',
] as const satisfies readonly Atom['kind'][];

/** What is asked of one phrase for an atom that no set answers. */
export function testOf(a: Exclude<Atom, { kind: (typeof AS_SETS)[number] }>, c: Catalogue): Test {
  switch (a.kind) {
    case 'first':
    case 'last':
      return edgeTest(a, c);
    case 'rhythm': {
      const lengths = a.values.map((v) => (v.rest ? -v.ticks : v.ticks));
      const may = signatureTest(c, SIGNATURE.lengths, lengths.map(lengthBit));
      const pairs = lengths.slice(1).map((t, i) => lengthPairBit(lengths[i]!, t));
      const mayPairs = signatureTest(c, SIGNATURE.lengthPairs, pairs);
      return lineTest(c, (n) => may(n) && mayPairs(n), rhythmTest(c.pool, lengths));
    }
    case 'intervals': {
      const s = a.semitones;
      const bits = s.slice(1).map((r, i) => riseBit(clamped(s[i]!), clamped(r)));
      const may = signatureTest(c, SIGNATURE.rises, bits);
      return lineTest(c, may, risesTest(c.pool, s, false));
    }
    case 'contour': {
      const turns = a.turns.map((t) => ({ up: 1, same: 0, down: -1 })[t]);
      const bits = turns.slice(2).map((t, i) => turnBit(turns[i]!, turns[i + 1]!, t));
      const may = signatureTest(c, SIGNATURE.turns, bits);
      return lineTest(c, may, risesTest(c.pool, turns, true));
    }
    case 'with': {
      const bit = bitsOf([a.technique]);
      return (n) => (c.techniques.values[n]! & bit) !== 0;
    }
    case 'role': {
      const bit = 1 << ROLES.indexOf(a.role);
      return (n) => (c.roles.values[n]! & bit) !== 0;
    }
    case 'number':
      return numberTest(a, c);
    case 'key': {
      const fits = c.keyNames.map(
        ({ tonic, mode }) =>
          (a.tonic === null || samePitchClass(a.tonic, tonic)) &&
          (a.mode === null || a.mode === mode),
      );
      return (n) => fits[c.keyPlaces.values[n]!]!;
    }
    case 'feel': {
      const { values } = c.summary.feels;
      const fits = FEELS.map((f) => f === a.feel || (a.feel === 'swung' && f === 'shuffle'));
      return (n) => fits[values[n]!]!;
    }
    case 'meter': {
      const name = `${a.beats}/${a.beatType}`;
      const bit = c.meterNames.includes(name) ? 1 << (c.meterNames.indexOf(name) % 32) : 0;
      const { values } = c.meterBits;
      // A bit may stand for several where there are more metres than bits.
      if (c.meterNames.length <= 32) return (n) => (values[n]! & bit) !== 0;
      return (n) => (values[n]! & bit) !== 0 && c.entries[n]!.meters.includes(name);
    }
    case 'fits':
      return fitsTest(a.chords, c);
    case 'when':
      return dayTest(a, c);
  }
}

/** No rise is larger; what is looked for may be. */
function clamped(rise: number): number {
  return Math.max(-127, Math.min(127, rise));
}

/** Whether all bits are in a part of the signature; where they are not, nothing has to be read. */
function signatureTest(c: Catalogue, at: number, bits: readonly number[]): Test {
  const wanted = new Map<number, number>();
  for (const b of bits) {
    const word = at + (b >>> 5);
    wanted.set(word, (wanted.get(word) ?? 0) | (1 << (b & 31)));
  }
  const words = Int32Array.from(wanted.keys());
  const masks = Int32Array.from(wanted.values());
  const { values } = c.signatures;
  return (n) => {
    for (let i = 0; i < words.length; i++) {
      if ((values[n * SIGNATURE_WORDS + words[i]!]! & masks[i]!) !== masks[i]) return false;
    }
    return true;
  };
}

function bitsOf(names: readonly TechniqueName[]): number {
  return names.reduce((bits, name) => bits | (1 << TECHNIQUE_NAMES.indexOf(name)), 0);
}

/**
 * Keeps of a set the phrases in which a row of steps may stand, as its bits say.
 * @returns what tells those in which it does; null where the bits say all. What the signature rules out is not read.
 */
export function keepRow(a: RowAtom, c: Catalogue, left: Bits): Test | null {
  const steps = a.steps.map((s): ReadyStep => {
    const degree = s.degree === null ? -1 : degreeCode(s.degree);
    return { degree, turn: s.turn, gap: s.gap, techniques: bitsOf(s.techniques) >>> 0 };
  });
  const tonic = a.from === 'tonic';
  const bits = steps.slice(1).flatMap((s, i) => {
    const before = steps[i]!;
    if (s.gap || s.degree < 0 || before.degree < 0) return [];
    return [pairBit(before.degree, s.degree, tonic ? 2 : 4)];
  });
  const may = signatureTest(c, tonic ? SIGNATURE.tonicPairs : SIGNATURE.pairs, bits);
  let [low, high, techniques] = [0, 0, 0];
  for (const s of steps) {
    techniques |= s.techniques;
    if (s.degree >= 32) high |= 1 << (s.degree - 32);
    else if (s.degree >= 0) low |= 1 << s.degree;
  }
  const over = a.over === null ? null : c.chords.fitting(a.over);
  c.leaps.keep(left, leapBits(steps, tonic));
  if (isOnlyTurns(steps, over)) return null;
  const lows = (tonic ? c.summary.keyLow : c.degreesLow).values;
  const highs = (tonic ? c.summary.keyHigh : c.degreesHigh).values;
  const all = c.techniques.values;
  const passes = (n: number) =>
    (lows[n]! & low) === low &&
    (highs[n]! & high) === high &&
    (all[n]! & techniques) === techniques &&
    may(n);
  return lineTest(c, passes, rowTest(c.pool, steps, tonic, over));
}

/** The bits of `leaps.ts` without which a row cannot be there. */
function leapBits(steps: readonly ReadyStep[], tonic: boolean): readonly number[] {
  const bits = new Set<number>();
  /** The turns so far without a step between them that may be either. */
  let [near, far]: [boolean[], boolean[]] = [[], []];
  /** The degrees before, as long as every step has gone the same way: what goes up twice is higher at last. */
  let run: number[] = [];
  for (const [i, s] of steps.entries()) {
    const up = s.turn === 'up';
    const along = s.turn !== null && s.turn === steps[i - 1]?.turn;
    run = s.turn === null ? [] : [...(along ? run : []), steps[i - 1]!.degree];
    for (const first of s.degree < 0 ? [] : run.slice(0, -1)) {
      const at = tonic ? LEAP.farTonicPairs : LEAP.farPairs;
      if (first >= 0) bits.add(32 * at + leapBit(first, s.degree, up, true));
    }
    far = s.turn === null ? [] : [...far, up].slice(-MOST_TURNS);
    near = s.turn === null || s.gap ? [] : [...near, up].slice(-MOST_TURNS);
    if (far.length > 0) bits.add(32 * LEAP.far + turnsBit(far));
    if (near.length > 0) bits.add(32 * LEAP.near + turnsBit(near));
    const before = steps[i - 1]?.degree ?? -1;
    if (s.turn === null || s.degree < 0 || before < 0) continue;
    const [nearAt, farAt] = tonic
      ? [LEAP.nearTonicPairs, LEAP.farTonicPairs]
      : [LEAP.nearPairs, LEAP.farPairs];
    bits.add(32 * (s.gap ? farAt : nearAt) + leapBit(before, s.degree, up, s.gap));
  }
  return [...bits];
}

/** Whether the bits say all that a row asks: any notes with turns between them, all side by side or all apart. */
function isOnlyTurns([first, ...more]: readonly ReadyStep[], over: Uint8Array | null): boolean {
  const open = (s: ReadyStep) => s.degree < 0 && s.techniques === 0;
  return (
    over === null &&
    more.length > 0 &&
    more.length <= MOST_TURNS &&
    open(first!) &&
    more.every((s) => open(s) && s.turn !== null && s.gap === more[0]!.gap)
  );
}

/** What is cheap to ask goes before the notes are looked at. */
function lineTest(c: Catalogue, passes: Test, test: LineTest): Test {
  const { firstNote } = c;
  return (n) => passes(n) && test(firstNote.values[n]!, firstNote.values[n + 1]!);
}

function dayTest(a: Atom & { kind: 'when' }, c: Catalogue): Test {
  const day = Number(a.day.replaceAll('-', ''));
  // A year or month is compared with years or months.
  const unit = { 4: 10_000, 7: 100, 10: 1 }[a.day.length]!;
  const { days } = c;
  return a.side === 'before'
    ? (n) => Math.floor(days.values[n]! / unit) < day
    : (n) => Math.floor(days.values[n]! / unit) >= day;
}

/** Whether chords stand in a lane one after the other, each as the catalogue fits them. */
export function changeTest(chords: readonly string[], c: Catalogue): Test {
  const fits = chords.map((text) => c.chords.fitting(text));
  const { changes, firstChange } = c;
  return (n) => {
    const last = firstChange.values[n + 1]! - fits.length;
    for (let at = firstChange.values[n]!; at <= last; at++) {
      let place = 0;
      while (place < fits.length && fits[place]![changes.values[at + place]!] === 1) place++;
      if (place === fits.length) return true;
    }
    return false;
  };
}

function edgeTest(a: Atom & { kind: 'first' | 'last' }, c: Catalogue): Test {
  const code = degreeCode(a.degree);
  const { voice, event, midi, start, heard } = c.pool;
  const step = a.kind === 'first' ? 1 : -1;
  return (n) => {
    const first = c.firstNote.values[n]!;
    const end = c.firstNote.values[n + 1]!;
    let edge = -1;
    for (let i = step > 0 ? first : end - 1; first <= i && i < end; i += step) {
      if (voice.values[i] !== 0 || midi.values[i] === 0) continue;
      if (edge >= 0 && event.values[i] !== edge) return false;
      edge = event.values[i]!;
      if (start.values[i] === code || heard.values[i] === code) return true;
    }
    return false;
  };
}

/** What was used is looked up, each day of use reckoned once; all else was never used. */
function idleTest(within: (days: number) => boolean, c: Catalogue): Test {
  const holds = new Uint8Array(c.end).fill(Number(within(Number.POSITIVE_INFINITY)));
  const byDay = new Map<string, number>();
  for (const [id, days] of c.around.uses) {
    const n = c.numberOf(id);
    const last = days.at(-1);
    if (n === null || last === undefined) continue;
    let held = byDay.get(last);
    if (held === undefined) {
      held = Number(within(idleDays(c.around, id)));
      byDay.set(last, held);
    }
    holds[n] = held;
  }
  return (n) => holds[n] === 1;
}

function numberTest(a: NumberAtom, c: Catalogue): Test {
  const within = (x: number) => a.from <= x && x <= a.to;
  const keeps =
    (low: { values: Uint8Array }, high: { values: Uint8Array }): Test =>
    (n) =>
      low.values[n]! <= high.values[n]! && a.from <= low.values[n]! && high.values[n]! <= a.to;
  switch (a.of) {
    case 'level':
      return (n) => c.summary.levels.values[n] !== 0 && within(c.summary.levels.values[n]!);
    case 'bars':
      return (n) => within(c.summary.bars.values[n]!);
    case 'tempo':
      return (n) => within(c.bpms[n]!);
    case 'notes':
      return (n) => within(c.firstNote.values[n + 1]! - c.firstNote.values[n]!);
    case 'span':
      return (n) => {
        const [low, high] = [c.lowMidi.values[n]!, c.highMidi.values[n]!];
        return low <= high && within(high - low);
      };
    case 'idle':
      return idleTest(within, c);
    case 'frets':
      return keeps(c.lowFret, c.highFret);
    case 'strings':
      return keeps(c.lowString, c.highString);
  }
}
