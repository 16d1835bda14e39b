import { fail, ok, type Result } from '../result';
import {
  type ChordKind,
  type ChordTone,
  compareTones,
  KIND_TONES,
  sameTone,
  TONE_VALUES,
  type ToneValue,
  tone,
} from './chord-kinds';
import { type Alter, isAlter, type PitchClass, samePitchClass } from './pitch';

/** A chord symbol in the canonical spelling of `formatChord`; made by `canonicalSymbol` only. */
export type ChordSymbol = string & { readonly __brand: 'ChordSymbol' };

/**
 * A degree added to, altered in or taken from the kind, exactly as MusicXML 4.0 means it: `alter`
 * of an *added* degree counts from a dominant chord (add 7, 0 is ♭7; ♯9 is add 9, +1), of an
 * *altered* one from the kind's own degree; 0 where it is subtracted.
 */
export interface ChordDegree {
  readonly type: 'add' | 'alter' | 'subtract';
  /** 1 to 13, as in MusicXML. */
  readonly value: number;
  readonly alter: Alter;
}

/**
 * A chord symbol as data. Always in the normal form that `chordFrom` makes: of several ways to say
 * the same tones (dominant with its fifth raised, augmented seventh) one is kept, so equal content
 * is equal data.
 */
export interface Chord {
  readonly root: PitchClass;
  readonly kind: ChordKind;
  readonly degrees: readonly ChordDegree[];
  /** The slash bass, null where it is the root. */
  readonly bass: PitchClass | null;
}

/**
 * What the tones amount to: which tone is the third, the fifth, the seventh, how far the stack of
 * thirds goes, and what is left over. Text, kind and scale row are all read off this.
 */
export interface ChordShape {
  readonly third: 'major' | 'minor' | 'sus4' | 'sus2' | 'none';
  /** Alteration of the fifth; null where there is none. */
  readonly fifth: Alter | null;
  /** −1 minor, 0 major, −2 diminished (over a diminished triad only); null where there is none. */
  readonly seventh: -2 | -1 | 0 | null;
  /** An added sixth in place of a seventh. */
  readonly sixth: boolean;
  /** Highest number of the stack of thirds: 5 where there is no seventh. */
  readonly top: 5 | 7 | 9 | 11 | 13;
  /** The tones of the stack above the seventh, as they are altered. */
  readonly stack: readonly ChordTone[];
  /** Everything else, ascending. */
  readonly extras: readonly ChordTone[];
  /** Numbers the symbol would hold and does not, ascending. */
  readonly missing: readonly ToneValue[];
}

/**
 * The same function with its answers kept for as long as the chord itself lives. A move asks for the
 * row of one chord once for every note.
 */
export function remembered<T>(read: (c: Chord) => T): (c: Chord) => T {
  const known = new WeakMap<Chord, { readonly answer: T }>();
  return (c) => {
    const kept = known.get(c);
    if (kept !== undefined) return kept.answer;
    const answer = read(c);
    known.set(c, { answer });
    return answer;
  };
}

/** The tones of a chord by number, ascending, without the slash bass. */
export function tonesOf(c: Pick<Chord, 'kind' | 'degrees'>): readonly ChordTone[] {
  const read = applyDegrees(KIND_TONES[c.kind], c.degrees);
  if (!read.ok) throw new RangeError(`not a chord: ${read.problems[0]?.message}`);
  return read.value;
}

/**
 * The chord that a kind and its degrees mean, in normal form. What importers meet is read kindly:
 * altering a degree that the kind lacks adds it, subtracting one that it lacks does nothing, and
 * 8, 10, 12 count as 1, 3, 5.
 * @returns a Problem for a degree beyond a double alteration, or any degree on `7alt`.
 */
export function chordFrom(
  root: PitchClass,
  kind: ChordKind,
  degrees: readonly ChordDegree[] = [],
  bass: PitchClass | null = null,
): Result<Chord> {
  if (kind === '7alt') {
    return degrees.length === 0
      ? ok(chordOfTones(root, 'alt', bass))
      : fail({
          message: 'an altered dominant takes no further degrees',
          fix: 'Write the altered degrees one by one, for example C7b9b13.',
        });
  }
  const read = applyDegrees(KIND_TONES[kind], degrees);
  return read.ok ? ok(chordOfTones(root, read.value, bass)) : read;
}

function applyDegrees(
  base: readonly ChordTone[],
  degrees: readonly ChordDegree[],
): Result<readonly ChordTone[]> {
  let kept = [...base];
  const added: ChordTone[] = [];
  for (const d of degrees) {
    const value = toneValue(d.value);
    const own = base.find((t) => t.value === value);
    const from = d.type === 'alter' && own !== undefined ? own.alter : value === 7 ? -1 : 0;
    const alter = from + d.alter;
    if (value === null || (d.type !== 'subtract' && !isToneAlter(value, alter))) {
      return fail({
        message: `the degree ${d.type} ${d.value} by ${d.alter} has no name over this chord`,
        fix: 'Use degrees 1 to 13, altered by at most two semitones from the major scale.',
      });
    }
    if (d.type !== 'add') kept = kept.filter((t) => t.value !== value);
    if (d.type !== 'subtract') added.push(tone(value, alter as Alter));
  }
  return ok(uniqueTones([...kept, ...added]));
}

/** Whether a tone can be said by a symbol; a seventh stops at ♯7, since adding counts from ♭7. */
export function isToneAlter(value: ToneValue, alter: number): alter is Alter {
  return isAlter(alter) && (value !== 7 || alter <= 1);
}

function toneValue(n: number): ToneValue | null {
  const value = n === 8 || n === 10 || n === 12 ? n - 7 : n;
  return TONE_VALUES.find((v) => v === value) ?? null;
}

/** Ascending, each tone once. */
export function uniqueTones(tones: readonly ChordTone[]): readonly ChordTone[] {
  return tones.filter((t, i) => tones.findIndex((u) => sameTone(t, u)) === i).sort(compareTones);
}

/** The chord of a set of tones in normal form; `alt` is the altered dominant. */
export function chordOfTones(
  root: PitchClass,
  tones: readonly ChordTone[] | 'alt',
  bass: PitchClass | null,
): Chord {
  const slash = bass === null || samePitchClass(bass, root) ? null : bass;
  if (tones === 'alt') return { root, kind: '7alt', degrees: [], bass: slash };
  const all = uniqueTones(tones);
  const kind = kindOf(shapeOf(all));
  return { root, kind, degrees: degreesBetween(KIND_TONES[kind], all), bass: slash };
}

function degreesBetween(
  kind: readonly ChordTone[],
  tones: readonly ChordTone[],
): readonly ChordDegree[] {
  const degrees: ChordDegree[] = [];
  const left = [...tones];
  const take = (t: ChordTone) => left.splice(left.indexOf(t), 1);
  const absent: ChordTone[] = [];
  for (const t of kind) {
    const same = left.find((u) => sameTone(t, u));
    if (same === undefined) absent.push(t);
    else take(same);
  }
  for (const t of absent) {
    const alter = slotAlter(left, t.value);
    const other = left.find((u) => u.value === t.value && u.alter === alter);
    if (other === undefined) {
      degrees.push({ type: 'subtract', value: t.value, alter: 0 });
      continue;
    }
    take(other);
    const by = other.alter - t.alter;
    if (!isAlter(by)) throw new RangeError(`${t.value} is altered by ${by}`);
    degrees.push({ type: 'alter', value: t.value, alter: by });
  }
  for (const t of left) {
    const alter = t.alter + (t.value === 7 ? 1 : 0);
    degrees.push({ type: 'add', value: t.value, alter: alter as Alter });
  }
  return degrees.sort(
    (a, b) =>
      Number(a.type === 'subtract') - Number(b.type === 'subtract') ||
      a.value - b.value ||
      Number(a.type === 'add') - Number(b.type === 'add') ||
      a.alter - b.alter,
  );
}

const THIRDS: Readonly<Record<string, ChordShape['third']>> = {
  '3,0': 'major',
  '3,-1': 'minor',
  '4,0': 'sus4',
  '2,0': 'sus2',
};

/** The alteration that stands for a number when several do: the natural one, else the usual one. */
function slotAlter(tones: readonly ChordTone[], value: ToneValue): Alter | null {
  const present = tones.filter((t) => t.value === value).map((t) => t.alter);
  const usual: readonly Alter[] = value === 11 ? [0, 1, -1] : [0, -1, 1];
  return usual.find((a) => present.includes(a)) ?? present[0] ?? null;
}

/** Reads a set of tones; see `ChordShape`. */
export function shapeOf(tones: readonly ChordTone[]): ChordShape {
  const left = [...tones];
  const has = (value: ToneValue, alter: Alter) => left.some((t) => sameTone(t, tone(value, alter)));
  const any = (value: ToneValue) => left.some((t) => t.value === value);
  const take = (value: ToneValue, alter: Alter) => {
    const i = left.findIndex((t) => sameTone(t, tone(value, alter)));
    if (i >= 0) left.splice(i, 1);
    return i >= 0;
  };
  const missing: ToneValue[] = [];
  if (!take(1, 0)) missing.push(1);

  let third: ChordShape['third'] = 'none';
  for (const [value, alter] of [
    [3, 0],
    [3, -1],
    [4, 0],
    [2, 0],
  ] as const) {
    if (third === 'none' && take(value, alter)) third = THIRDS[`${value},${alter}`]!;
  }
  const fifth = slotAlter(left, 5);
  if (fifth !== null) take(5, fifth);

  const diminished = third === 'minor' && fifth === -1;
  const seventh = has(7, -1) ? -1 : diminished && has(7, -2) ? -2 : has(7, 0) ? 0 : null;
  if (seventh !== null) take(7, seventh);
  const sixth =
    seventh === null && !diminished && !(fifth === 1 && (third === 'major' || third === 'none'))
      ? take(6, 0)
      : false;

  const stack: ChordTone[] = [];
  let top: ChordShape['top'] = seventh === null ? 5 : 7;
  if (seventh !== null && !(diminished && seventh !== -1)) {
    const sus = third === 'sus4' || third === 'sus2';
    top = sus ? susTop(has) : stackTop(has, any);
    for (const value of [9, 11, 13] as const) {
      if (value > top || (sus && value === 11)) continue;
      const alter = slotAlter(left, value);
      if (alter === null) missing.push(value);
      else if (take(value, alter)) stack.push(tone(value, alter));
    }
  }
  if (third === 'none' && !(fifth === 0 && tones.length === 2 && missing.length === 0)) {
    missing.push(3);
  }
  if (fifth === null) missing.push(5);
  missing.sort((a, b) => a - b);
  return { third, fifth, seventh, sixth, top, stack, extras: left, missing };
}

type Has = (value: ToneValue, alter: Alter) => boolean;

/** A 13 needs its 9 and 11 in some form (a natural 9 excuses the 11), an 11 its 9. */
function stackTop(has: Has, any: (value: ToneValue) => boolean): 7 | 9 | 11 | 13 {
  if (has(13, 0) && any(9) && (any(11) || has(9, 0))) return 13;
  if (has(11, 0) && any(9)) return 11;
  return has(9, 0) ? 9 : 7;
}

/** Over a suspended chord the 11 is the fourth itself. */
function susTop(has: Has): 7 | 9 | 13 {
  return has(9, 0) ? (has(13, 0) ? 13 : 9) : 7;
}

const STACKS = {
  dominant: { 7: 'dominant', 9: 'dominant-ninth', 11: 'dominant-11th', 13: 'dominant-13th' },
  major: { 7: 'major-seventh', 9: 'major-ninth', 11: 'major-11th', 13: 'major-13th' },
  minor: { 7: 'minor-seventh', 9: 'minor-ninth', 11: 'minor-11th', 13: 'minor-13th' },
} as const;

function kindOf(s: ChordShape): ChordKind {
  const top = s.top === 5 ? 7 : s.top;
  switch (s.third) {
    case 'sus4':
      return 'suspended-fourth';
    case 'sus2':
      return 'suspended-second';
    case 'minor':
      if (s.fifth === -1) {
        if (s.seventh === -1) return top === 7 ? 'half-diminished' : STACKS.minor[top];
        return s.seventh === -2 ? 'diminished-seventh' : 'diminished';
      }
      if (s.seventh === null) return s.sixth ? 'minor-sixth' : 'minor';
      return s.seventh === -1 ? STACKS.minor[top] : 'major-minor';
    case 'none':
      if (!s.missing.includes(3)) return 'power';
      return majorKind(s, top);
    case 'major':
      return majorKind(s, top);
  }
}

function majorKind(s: ChordShape, top: 7 | 9 | 11 | 13): ChordKind {
  if (s.seventh === 0) return STACKS.major[top];
  if (s.seventh === -1) {
    return s.fifth === 1 && top === 7 ? 'augmented-seventh' : STACKS.dominant[top];
  }
  if (s.fifth === 1) return 'augmented';
  return s.sixth ? 'major-sixth' : 'major';
}
