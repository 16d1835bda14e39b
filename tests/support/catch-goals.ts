import type { Phrase } from '../../src/core/phrase/types';
import type { ToneName } from '../../src/core/sound/tone';
import type { Feature } from './arbitrary';
import { seededPhrase } from './arbitrary';
import { NOISES, type RoomName } from './rooms';

export const TONES_HEARD: readonly ToneName[] = ['clean', 'driven', 'steel'];
export const ROOMS_HEARD: readonly RoomName[] = ['dry', 'live'];

/** What a phrase is played with and where it is heard. */
export interface Condition {
  readonly tone: ToneName;
  readonly room: RoomName;
  readonly noise: number;
}

/** All tones, rooms and noises, one after the other: the nth phrase has the nth. */
export const CONDITIONS: readonly Condition[] = TONES_HEARD.flatMap((tone) =>
  ROOMS_HEARD.flatMap((room) => NOISES.map((noise) => ({ tone, room, noise }))),
);

/** Seeds for working on the decoder, and others, never looked at one by one, for reporting. */
export const SEEDS = { develop: 1_000, report: 700_000 } as const;

/**
 * What the phrases of the fuzz tests are without here: what no line for a guitar in standard tuning has, what has no
 * pitch, and what the written phrase says more of than is heard (whether a trill is written out, say).
 */
const WITHOUT: readonly Feature[] = [
  'tunings',
  'capo',
  'meter changes',
  'partial bar',
  'repeats',
  'fine rhythm',
  'dead notes',
  'trills',
  'harmonics',
  'bar dips',
  'ghost notes',
  'rakes',
  'strokes',
];

/**
 * Phrases of the generator of the fuzz tests, which knows nothing of playing: notes of 30 ms, leaps over the whole
 * neck, bends of three tones in a 32nd.
 */
export function wildPhrase(seed: number): Phrase {
  return seededPhrase(seed, { without: WITHOUT });
}
