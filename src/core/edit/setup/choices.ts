import type { Feel } from '../../phrase/types';

/** Metres that can be chosen. */
export const METERS = [
  '2/4',
  '3/4',
  '4/4',
  '5/4',
  '6/8',
  '9/8',
  '12/8',
  '3/8',
  '5/8',
  '7/8',
  '2/2',
] as const;
export type MeterName = (typeof METERS)[number];

/** Whether a text names one of the meters that can be chosen, such as `12/8`. */
export function isMeter(text: string): text is MeterName {
  return (METERS as readonly string[]).includes(text);
}

/** Feels that can be chosen (T3). */
export const FEELS = {
  straight: { kind: 'straight' },
  shuffle: { kind: 'swing', unit: 'eighth', first: 2, second: 1 },
  light: { kind: 'swing', unit: 'eighth', first: 3, second: 2 },
  sixteenths: { kind: 'swing', unit: '16th', first: 2, second: 1 },
} as const satisfies Record<string, Feel>;
export type FeelName = keyof typeof FEELS;

export const FEEL_NAMES = Object.keys(FEELS) as readonly FeelName[];

/** What a feel is called in one line, long and short. */
export const FEEL_WORDS: Readonly<Record<string, FeelName>> = {
  straight: 'straight',
  st: 'straight',
  shuffle: 'shuffle',
  sh: 'shuffle',
  swing: 'shuffle',
  sw: 'shuffle',
  light: 'light',
  '16ths': 'sixteenths',
};
