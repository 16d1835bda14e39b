import {
  AFTER_TWO_WEIGHTS,
  JOIN_WEIGHTS,
  type JoinFeatures,
  RANDOM_AFTER_TWO,
  RANDOM_JOIN,
} from './weights';

type Words = Readonly<Partial<Record<keyof JoinFeatures, string>>>;

const GOOD: Words = {
  leap: 'begins near where the phrase before ended',
  near: 'begins a step from where the phrase before ended',
  lands: 'ends on the note on which the phrase before did',
  cadence: 'closes as the phrase before does',
  beginsAlike: 'begins on the note on which the phrase before the last did',
  register: 'stays in the same register',
  peak: 'goes as high as the phrase before',
  floor: 'goes as low as the phrase before',
  pitches: 'takes up pitches that were just heard',
  newTones: 'stays with the notes that were heard',
  quotes: 'quotes the phrase before',
  quotesEarlier: 'quotes the phrase before the last',
  echo: 'takes up a figure of the phrase before',
  figures: 'shares figures with the phrase before',
  figuresEarlier: 'shares figures with the phrase before the last',
  cells: 'shares turns of four notes with the phrase before',
  pulse: 'keeps the note values',
  density: 'keeps the pace',
  length: 'is about as long',
};

/** What is only not there (nothing quoted, nothing taken up) is no reproach. */
const BAD: Words = {
  leap: 'leaps from the phrase before',
  register: 'changes the register',
  peak: 'has its highest note elsewhere',
  floor: 'has its lowest note elsewhere',
  newTones: 'brings new notes',
  pulse: 'changes the note values',
  density: 'changes the pace',
  length: 'is of another length',
};

/** What a feature must give or take, beyond what it does in a join at random, before it is worth a word. */
const WORTH = 0.3;

/**
 * Why a join is better or worse than one at random: what gives most first, then what it costs.
 * @param afterTwo Whether the phrase before the one before was looked at.
 * @returns Parts of a sentence without full stops; empty where nothing stands out.
 */
export function joinWords(f: JoinFeatures, afterTwo = false): readonly string[] {
  const weights = afterTwo ? AFTER_TWO_WEIGHTS : JOIN_WEIGHTS;
  const random = afterTwo ? RANDOM_AFTER_TWO : RANDOM_JOIN;
  const names = Object.keys(JOIN_WEIGHTS) as (keyof JoinFeatures)[];
  const gave = names
    .map((name) => ({ name, points: weights[name] * (f[name] - random[name]) }))
    // A step says already that it is near.
    .filter(({ name, points }) => Math.abs(points) >= WORTH && (name !== 'leap' || f.near === 0))
    .sort((a, b) => b.points - a.points);
  const good = gave.flatMap(({ name, points }) => (points > 0 ? (GOOD[name] ?? []) : []));
  const bad = gave.flatMap(({ name, points }) => (points < 0 ? (BAD[name] ?? []) : []));
  return [...good.slice(0, 2), ...bad.reverse().slice(0, 1)];
}
