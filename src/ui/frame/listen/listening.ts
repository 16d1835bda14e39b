import type { BackingFeel } from '../../../core/backing/types';
import type { Phrase } from '../../../core/phrase/types';
import type { Practice } from '../../../core/practice/types';
import { PLAIN } from '../../../core/practice/types';
import { type Mix, USUAL_MIX } from '../../../core/sound/parts';
import type { ToneName } from '../../../core/sound/tone';

/** What is chosen about practising, the stretch and the speed apart. */
export type PracticeWishes = Omit<Practice, 'stretch' | 'speed' | 'endless'>;

/** How a phrase is listened to and practised; kept while the window is open. */
export interface Listening {
  /** Percent of the tempo. */
  readonly speed: number;
  readonly loop: boolean;
  readonly tone: 'own' | ToneName;
  readonly practice: PracticeWishes;
  /** Who plays along; nobody where it is null. */
  readonly band: {
    readonly feel: BackingFeel;
    readonly seed: number;
    /** What it comps with in place of its own chords. */
    readonly rhythm: Phrase | null;
  } | null;
  readonly mix: Mix;
}

/** The usual practice: a bar counted in, and the metronome on every beat. */
const FIRST: Listening = {
  speed: 100,
  loop: false,
  tone: 'own',
  practice: { ...PLAIN, countIn: 1, click: { beats: 'every', accent: true, parts: 1 } },
  band: null,
  mix: USUAL_MIX,
};

let now: Listening = FIRST;
const listeners = new Set<() => void>();

/** How one listens at this moment, in this window. */
export function listeningNow(): Listening {
  return now;
}

/** Changes that from now on, also for what is playing. */
export function setListening(part: Partial<Listening>): void {
  now = { ...now, ...part };
  for (const changed of listeners) changed();
}

/** @returns ends the subscription. */
export function subscribeToListening(changed: () => void): () => void {
  listeners.add(changed);
  return () => {
    listeners.delete(changed);
  };
}

/** Where it is kept whether sound ends when the page is hidden. */
export const STOPS_HIDDEN = 'degreewise.listen.stops-when-hidden';
