import { openMidi, STANDARD_GUITAR } from '../phrase/instrument';
import { type Chord, type ChordTone, formatChord } from '../theory/chord';
import { tonesOf } from '../theory/chord-model';
import { type Degree, type DegreeNumber, degreeSemitones } from '../theory/degree';
import { chromaOf, mod } from '../theory/pitch';
import type { CompVoice } from './types';

/** The guitar that accompanies. */
export const BACKING_GUITAR = STANDARD_GUITAR;

/** A way to play a chord: four strings side by side (three for a power chord), lowest first, and what it costs by itself. */
export interface Voicing {
  readonly voices: readonly CompVoice[];
  readonly cost: number;
}

/** The sounds that the comping keeps to: C3, above the bass, to E5. */
export const COMPING_RANGE = { lowest: 48, highest: 76 } as const;

/** Where its middle is at home, in MIDI numbers: about B3 (ours). */
const MIDDLE = 60;

/** Strings played together, lowest string first. */
const STRING_SETS = [
  [5, 4, 3, 2],
  [4, 3, 2, 1],
] as const;

/** A power chord has two tones: three strings, as it is played. */
const POWER_SETS = [
  [5, 4, 3],
  [4, 3, 2],
  [3, 2, 1],
] as const;

/** Frets from the index finger on that a grip may span: four frets. */
const SPAN = 3;

/** Highest fret of the index finger. */
const HIGHEST_HAND = 12;

/** The number of voices of every chord but a power chord. */
export const VOICES = 4;

/**
 * What makes the chord what it is, most telling first: third or what stands for it, seventh or sixth,
 * altered fifth, altered ninths to thirteenths, the highest natural one. A fifth and a root tell least,
 * and the bass has the root. Over a dominant or major eleventh the third gives way: it is a semitone
 * from the eleventh (common practice). `7alt` keeps the colours that lie beside one another best.
 */
export function tellingTones(chord: Chord): readonly ChordTone[] {
  const tones = tonesOf(chord);
  const by = (test: (t: ChordTone) => boolean) => tones.filter(test);
  const upper = by((t) => t.value > 7);
  const eleventh = upper.some((t) => t.value === 11 && t.alter === 0);
  const thirteenth = upper.some((t) => t.value === 13);
  const major = tones.some((t) => t.value === 3 && t.alter === 0);
  const clash = eleventh && major;
  const natural = upper.filter((t) => t.alter === 0 && !(t.value === 11 && thirteenth && major));
  const third = by((t) => t.value === 3 || t.value === 2 || t.value === 4);
  const list = [
    ...(clash && !thirteenth ? [] : third),
    ...by((t) => t.value === 7 || t.value === 6),
    ...by((t) => t.value === 5 && t.alter !== 0),
    ...upper.filter((t) => t.alter !== 0),
    ...[...natural].sort((a, b) => b.value - a.value),
  ];
  return list.slice(0, VOICES);
}

/** Degrees by pitch class number over the root; where a tone has two names the first. */
function degreesOf(chord: Chord): ReadonlyMap<number, Degree> {
  const out = new Map<number, Degree>();
  for (const t of tonesOf(chord)) {
    const number = (t.value > 7 ? t.value - 7 : t.value) as DegreeNumber;
    const degree = { number, alter: t.alter };
    const over = mod(degreeSemitones(degree), 12);
    if (!out.has(over)) out.set(over, degree);
  }
  return out;
}

/** So many chords are remembered. */
const MEMO_SIZE = 200;
const memo = new Map<string, readonly Voicing[]>();

/** Every grip of a chord that has its telling tones, within reach of a hand; at least one for any chord. */
export function voicingsOf(chord: Chord): readonly Voicing[] {
  const name = formatChord({ ...chord, bass: null });
  const known = memo.get(name);
  if (known !== undefined) return known;
  if (memo.size >= MEMO_SIZE) memo.clear();
  const found = findVoicings(chord);
  memo.set(name, found);
  return found;
}

function findVoicings(chord: Chord): readonly Voicing[] {
  const must = tellingTones(chord).map((t) => mod(semitones(t), 12));
  // Where four strings side by side cannot hold them all, the least telling one gives way.
  for (let keep = must.length; keep >= 0; keep--) {
    const found = grips(chord, must.slice(0, keep));
    if (found.length >= (keep > 1 ? FEW : 1)) return found;
  }
  return [];
}

/** Fewer grips than these and the voices could not be led. */
const FEW = 4;

function semitones(t: ChordTone): number {
  return degreeSemitones({
    number: (t.value > 7 ? t.value - 7 : t.value) as DegreeNumber,
    alter: t.alter,
  });
}

function grips(chord: Chord, must: readonly number[]): readonly Voicing[] {
  const degrees = degreesOf(chord);
  const root = chromaOf(chord.root);
  // Over an eleventh without its third none of the voices is the third.
  const shut = tellingTones(chord).every((t) => t.value !== 3) && degrees.size > VOICES;
  const known = new Map<string, Voicing>();
  for (const strings of degrees.size > 2 ? STRING_SETS : POWER_SETS) {
    for (let hand = 1; hand <= HIGHEST_HAND; hand++) {
      const perString = strings.map((string) => {
        const open = openMidi(BACKING_GUITAR, string);
        return Array.from({ length: SPAN + 1 }, (_, i) => hand + i).flatMap((fret): CompVoice[] => {
          const midi = open + fret;
          const degree = degrees.get(mod(midi - root, 12));
          if (degree === undefined || (shut && degree.number === 3)) return [];
          return midi < COMPING_RANGE.lowest || midi > COMPING_RANGE.highest
            ? []
            : [{ midi, string, fret, degree }];
        });
      });
      for (const voices of product(perString)) {
        const over = voices.map((v) => mod(v.midi - root, 12));
        if (must.some((m) => !over.includes(m))) continue;
        const name = voices.map((v) => `${v.string}.${v.fret}`).join(' ');
        if (!known.has(name)) known.set(name, { voices, cost: staticCost(voices, degrees.size) });
      }
    }
  }
  return [...known.values()];
}

/** One note of every string, each higher than the one before. */
function product(lists: readonly (readonly CompVoice[])[]): readonly (readonly CompVoice[])[] {
  let out: readonly (readonly CompVoice[])[] = [[]];
  for (const list of lists) {
    out = out.flatMap((o) =>
      list.filter((v) => v.midi > (o.at(-1)?.midi ?? 0)).map((v) => [...o, v]),
    );
  }
  return out;
}

/** What a grip costs by itself, in semitones of motion that it must save (ours). */
function staticCost(voices: readonly CompVoice[], tones: number): number {
  const midis = voices.map((v) => v.midi);
  const mean = midis.reduce((a, b) => a + b, 0) / midis.length;
  const frets = voices.map((v) => v.fret);
  const span = Math.max(...frets) - Math.min(...frets);
  let cost = 0.5 * Math.abs(mean - MIDDLE) + 0.3 * span;
  const over = voices.map((v) => degreeSemitones(v.degree));
  const distinct = new Set(over).size;
  cost += 2 * Math.max(0, Math.min(VOICES, tones) - distinct);
  const thirds = voices.filter((v) => v.degree.number === 3).length;
  cost += 1.5 * Math.max(0, thirds - 1);
  midis.forEach((m, i) => {
    midis.slice(0, i).forEach((low) => {
      // A minor ninth between two voices is harsh; so are close notes in the deep.
      if (m - low === 13) cost += 4;
      if (m - low <= 2) cost += low < 57 ? 4 : 1;
      if (m - low <= 4 && low < 52) cost += 2;
    });
  });
  return cost;
}
