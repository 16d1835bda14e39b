import type { EditState } from './state';

/** What a command answers, in the same way whether it is asked or run. */
export type Outcome =
  | {
      readonly kind: 'done';
      readonly state: EditState;
      /** What was done, for whoever listens: `fret 7 on string 2`. Empty where the cursor tells it. */
      readonly say: string;
    }
  | {
      readonly kind: 'not applicable';
      /** One sentence without a full stop, after 'because': `the cursor is on no note`. */
      readonly because: string;
    };

/**
 * The command did something.
 * @param say What is said about it besides; a sentence, or nothing.
 */
export function done(state: EditState, say = ''): Outcome {
  return { kind: 'done', state, say };
}

/**
 * The command changes nothing here.
 * @param because Why, for the person, without a full stop.
 */
export function cannot(because: string): Outcome {
  return { kind: 'not applicable', because };
}
