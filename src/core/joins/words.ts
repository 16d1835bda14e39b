import { JOIN_WEIGHTS, type JoinFeatures } from './weights';

const GOOD: Readonly<Record<keyof JoinFeatures, string>> = {
  leap: 'begins near where the phrase before ended',
  register: 'stays in the same register',
  pitches: 'takes up pitches that were just heard',
  tonesEarlier: 'comes back to the notes of two phrases ago',
  echo: 'takes up a figure of the phrase before',
  figures: 'shares figures with the phrase before',
  echoEarlier: 'answers the phrase before the last',
  pulse: 'keeps the note values',
  density: 'keeps the pace',
  length: 'is about as long',
};

const BAD: Readonly<Record<keyof JoinFeatures, string>> = {
  ...GOOD,
  leap: 'leaps from the phrase before',
  register: 'changes the register',
  pulse: 'changes the note values',
  density: 'changes the pace',
  length: 'is of another length',
};

/** What a feature must give or take before it is worth a word. */
const WORTH = 0.45;

/**
 * Why a join is as good as it is: what gave most first, then what it costs.
 * @returns Parts of a sentence without full stops; empty where nothing stands out.
 */
export function joinWords(f: JoinFeatures): readonly string[] {
  const names = Object.keys(JOIN_WEIGHTS) as (keyof JoinFeatures)[];
  const gave = names
    .map((name) => ({ name, points: JOIN_WEIGHTS[name] * f[name] }))
    .filter(({ points }) => Math.abs(points) >= WORTH)
    .sort((a, b) => b.points - a.points);
  const good = gave.filter(({ points }) => points > 0).map(({ name }) => GOOD[name]);
  const bad = gave.filter(({ points }) => points < 0).map(({ name }) => BAD[name]);
  if (good.length === 0 && f.leap === 0) good.push(GOOD.leap);
  return [...good.slice(0, 2), ...bad.reverse().slice(0, 1)];
}
