import { type Chord, chordTones } from '../theory/chord';
import { homeScale } from '../theory/chord-scale';
import { type Degree, degreeOf, degreeSemitones, ROOT, sameDegree } from '../theory/degree';
import { chromaOf, type Midi, mod } from '../theory/pitch';
import { bassPlaces } from './bass-neck';
import { type BassSlot, type BassWish, bassSlots } from './bass-slots';
import { dice } from './dice';
import {
  BASS_ROLES,
  type BackingFeel,
  type BackingForm,
  type BassNote,
  type BassRole,
} from './types';

/** The sounds that the bass keeps to: E1, its lowest string, to G3. */
export const BASS_RANGE = { lowest: 28, highest: 55 } as const;

/** Where it is at home: E1 to C3 (ours). */
const HOME = { lowest: 29, highest: 46 } as const;

/** A pitch that a slot may take. */
interface Candidate {
  readonly midi: Midi;
  readonly role: BassRole;
  readonly degree: Degree;
  readonly cost: number;
}

/** The bass over a form: the pitches of all slots are chosen together, the cheapest line from first to last. */
export function bassLine(
  form: BackingForm,
  feel: BackingFeel,
  seed: number,
  loops: boolean,
): readonly BassNote[] {
  const slots = bassSlots(form, feel, seed, loops);
  const line = closedLine(slots, seed, feel === 'swing', loops);
  const places = bassPlaces(line.map((c) => c.midi));
  return line.map((c, i): BassNote => {
    const slot = slots[i]!;
    const place = places[i]!;
    return {
      at: slot.at,
      end: slot.end,
      level: slot.level,
      ...(slot.tuplet ? { tuplet: true } : {}),
      ...place,
      role: c.role,
      degree: c.degree,
    };
  });
}

/** The bass that a symbol names: its slash bass or its root. */
export function bassOf(chord: Chord): Degree {
  return chord.bass === null ? ROOT : degreeOf(chord.root, chord.bass);
}

const WISHED: Readonly<
  Record<Exclude<BassWish, 'walk' | 'lead' | 'root' | 'octave'>, readonly number[]>
> = {
  third: [3],
  fifth: [5],
  sixth: [6, 5],
  seventh: [7, 5],
};

function candidates(slot: BassSlot, last: boolean, seed: number): readonly Candidate[] {
  const { chord } = slot;
  const bass = bassOf(chord);
  const out: Candidate[] = [];
  const add = (degree: Degree, role: BassRole, cost: number) => {
    const chroma = mod(chromaOf(chord.root) + degreeSemitones(degree), 12);
    for (let midi = BASS_RANGE.lowest; midi <= BASS_RANGE.highest; midi++) {
      if (mod(midi, 12) !== chroma) continue;
      const out1 = Math.max(HOME.lowest - midi, midi - HOME.highest, 0);
      out.push({ midi, role, degree, cost: cost + 0.8 * out1 + whim(seed, slot.at, midi) });
    }
  };
  if (slot.change) {
    add(bass, 'root', 0);
    return out;
  }
  const tones = [...chordTones(chord)];
  // What is struck again is what it was.
  const wished = (d: Degree, isBass: boolean) =>
    slot.again ? 0 : wishCost(slot.wish, d, isBass) + leadCost(slot, d);
  add(bass, 'root', wished(bass, true));
  for (const t of tones) {
    if (!sameDegree(t, bass)) add(t, 'chord tone', wished(t, false) + colour(t));
  }
  if (slot.down) return out;
  for (const d of homeScale(chord)) {
    // A passing note needs a note of this line to go on to.
    if (last || tones.some((t) => degreeSemitones(t) === degreeSemitones(d))) continue;
    add(d, 'passing', slot.again ? 0 : wishCost(slot.wish, d, false) + passingCost(slot.wish));
  }
  if (slot.next !== null) addLeads(slot, slot.next, add, tones);
  return out;
}

/** A passing note where a walk or that very note is wished is as good as a chord tone. */
function passingCost(wish: BassWish): number {
  return wish === 'walk' || wish === 'sixth' ? 0.6 : 1.5;
}

/** A chord tone a step from the next bass leads best of all; the next bass itself, too early, leads nowhere. */
function leadCost(slot: BassSlot, d: Degree): number {
  if (slot.next === null || slot.wish !== 'lead') return 0;
  const away = mod(degreeSemitones(d) - goalOver(slot.chord, slot.next), 12);
  if (away === 0) return 2.5;
  return away <= 2 || away >= 10 ? -0.8 : 0;
}

/** Semitones from the root of a chord up to the bass of the next. */
function goalOver(chord: Chord, next: Chord): number {
  return mod(chromaOf(next.bass ?? next.root) - chromaOf(chord.root), 12);
}

/** Notes that lead to the next bass: a semitone away, a whole tone that the chord's scale has, or its own fifth. */
function addLeads(
  slot: BassSlot,
  next: Chord,
  add: (degree: Degree, role: BassRole, cost: number) => void,
  tones: readonly Degree[],
): void {
  const goal = goalOver(slot.chord, next);
  const home = homeScale(slot.chord).map((d) => mod(degreeSemitones(d), 12));
  const wanted = slot.wish === 'lead' ? 0 : 2;
  const leads: readonly (readonly [number, BassRole, number])[] = [
    [-1, 'approach', 0],
    [1, 'approach', 0.3],
    [-2, 'approach', 0.8],
    [2, 'approach', 0.8],
    [7, 'fifth of the next', 0.9],
  ];
  for (const [semitones, role, cost] of leads) {
    const over = mod(goal + semitones, 12);
    // A whole tone away that the scale does not have rubs against its third or seventh.
    if (Math.abs(semitones) === 2 && !home.includes(over)) continue;
    const degree = nameOver(slot.chord, over);
    if (!tones.some((t) => mod(degreeSemitones(t), 12) === over)) add(degree, role, cost + wanted);
  }
}

const CHROMATIC: readonly Degree[] = [
  { number: 1, alter: 0 },
  { number: 2, alter: -1 },
  { number: 2, alter: 0 },
  { number: 3, alter: -1 },
  { number: 3, alter: 0 },
  { number: 4, alter: 0 },
  { number: 5, alter: -1 },
  { number: 5, alter: 0 },
  { number: 6, alter: -1 },
  { number: 6, alter: 0 },
  { number: 7, alter: -1 },
  { number: 7, alter: 0 },
];

/** The degree that the chord's scale has at so many semitones, else the usual name (D1). */
function nameOver(chord: Chord, semitones: number): Degree {
  return (
    homeScale(chord).find((d) => mod(degreeSemitones(d), 12) === semitones) ?? CHROMATIC[semitones]!
  );
}

/** What it costs that a note is not the wished one. */
function wishCost(wish: BassWish, d: Degree, isBass: boolean): number {
  switch (wish) {
    case 'root':
    case 'octave':
      return isBass ? 0 : 6;
    case 'walk':
      return isBass ? 0.8 : 0;
    case 'lead':
      return isBass ? 2 : 0.8;
    default: {
      const place = WISHED[wish].indexOf(d.number);
      return place < 0 ? 3 + (isBass ? 0 : 0.5) : place;
    }
  }
}

/** Ninths, elevenths and altered tones are chord tones that a bass seldom rests on. */
function colour(d: Degree): number {
  return d.number === 2 || d.number === 4 || (d.number === 6 && d.alter !== 0) ? 1.5 : 0;
}

/** Different lines for different seeds: less than any rule weighs. */
function whim(seed: number, at: number, midi: Midi): number {
  return 1.2 * dice(seed, 'line', at, midi);
}

/** What a motion of the bass costs by its semitones; never from or to a passing note by a leap. */
function motionCost(
  from: Candidate,
  to: Candidate,
  slot: BassSlot,
  before: BassSlot,
  walks: boolean,
): number {
  const distance = Math.abs(to.midi - from.midi);
  if (slot.again && (distance !== 0 || to.role !== from.role)) return Number.POSITIVE_INFINITY;
  if (
    !slot.again &&
    (to.role === 'passing' || from.role === 'passing') &&
    (distance === 0 || distance > 2)
  ) {
    return Number.POSITIVE_INFINITY;
  }
  if (from.role === 'approach' && (distance === 0 || distance > 2)) return Number.POSITIVE_INFINITY;
  if (from.role === 'fifth of the next' && distance !== 5 && distance !== 7)
    return Number.POSITIVE_INFINITY;
  if (slot.wish === 'octave' && from.role === 'root' && distance === 12) return -1;
  if (distance === 0) {
    if (walks) return before.wish === 'root' ? 3 : 4;
    return slot.again || slot.wish === before.wish ? 0 : 2;
  }
  if (distance <= 2) return 0;
  if (distance <= 4) return 0.4;
  if (distance <= 7) return distance === 6 ? 2 : walks ? 1 : 0.6;
  return distance === 12 ? 2.5 : 4 + (distance > 12 ? 4 : 0);
}

/** Turning round costs a walking line a little, a leap that goes on in its direction more. */
function turnCost(way: -1 | 0 | 1, delta: number, walks: boolean): number {
  if (!walks || way === 0 || delta === 0) return 0;
  if (Math.sign(delta) !== way) return 0.5;
  return Math.abs(delta) > 4 ? 0.8 : 0;
}

const ROLES = BASS_ROLES.length;

interface State {
  readonly candidate: Candidate;
  readonly way: -1 | 0 | 1;
  readonly cost: number;
  readonly before: State | null;
}

/** The line that comes back to its first note as it goes on to any other, where the form is played again. */
function closedLine(
  slots: readonly BassSlot[],
  seed: number,
  walks: boolean,
  loops: boolean,
): readonly Candidate[] {
  const all = slots.map((slot, i) => {
    const after = slots[i + 1];
    return candidates(slot, after === undefined || after.at > slot.end, seed);
  });
  const [firsts, ...rest] = all;
  if (firsts === undefined) return [];
  if (!loops) return cheapestLine(slots, all, walks, null).line;
  return firsts
    .map((one) => cheapestLine(slots, [[one], ...rest], walks, one))
    .reduce((a, b) => (b.cost < a.cost ? b : a)).line;
}

/** Shortest path over slots; a state is a pitch with the direction in which it was reached. */
function cheapestLine(
  slots: readonly BassSlot[],
  /** Of each slot. */
  all: readonly (readonly Candidate[])[],
  walks: boolean,
  /** What comes after the last; null where nothing does. */
  again: Candidate | null,
): { readonly line: readonly Candidate[]; readonly cost: number } {
  let states: readonly State[] = (all[0] ?? []).map((candidate) => ({
    candidate,
    way: 0,
    cost: candidate.cost,
    before: null,
  }));
  for (const [i, slot] of slots.entries()) {
    const before = slots[i - 1];
    if (before === undefined) continue;
    const best = new Map<number, State>();
    for (const to of all[i]!) {
      for (const from of states) {
        const step = motionCost(from.candidate, to, slot, before, walks);
        if (step === Number.POSITIVE_INFINITY) continue;
        const delta = to.midi - from.candidate.midi;
        const way = delta === 0 ? from.way : delta > 0 ? 1 : -1;
        const cost = from.cost + step + turnCost(from.way, delta, walks) + to.cost;
        const name = (to.midi * ROLES + BASS_ROLES.indexOf(to.role)) * 3 + way;
        const known = best.get(name);
        if (known === undefined || cost < known.cost)
          best.set(name, { candidate: to, way, cost, before: from });
      }
    }
    states = [...best.values()];
  }
  const back = (s: State) =>
    s.cost + (again === null ? 0 : motionCost(s.candidate, again, slots[0]!, slots.at(-1)!, walks));
  let end = states.reduce<State | null>((a, b) => (a === null || back(b) < back(a) ? b : a), null);
  const cost = end === null ? Number.POSITIVE_INFINITY : back(end);
  const line: Candidate[] = [];
  for (; end !== null; end = end.before) line.push(end.candidate);
  return { line: line.reverse(), cost };
}
