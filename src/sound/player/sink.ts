import type { Mix, Parts, StringPart } from '../../core/sound/parts';
import type { Seconds } from '../../core/sound/types';

/** What makes things heard: this device, or an instrument that is connected. Times are on its own clock. */
export interface Sink {
  /** Is awake when it resolves. @throws when there is no sound, with words for a person. */
  readonly wake: () => Promise<void>;
  /** Whether something can be heard without waiting. */
  readonly isAwake: () => boolean;
  /** Nothing is played for the time being. */
  readonly rest: () => void;
  /** The clock by which sounds are ordered. */
  readonly now: () => Seconds;
  /** What is heard now was ordered for this time. */
  readonly heardNow: () => Seconds;
  /** The earliest moment at which something ordered now is heard on time. */
  readonly soonest: () => Seconds;
  /** What is heard together; its beginning is at `start`, which may have passed. */
  readonly play: (parts: Parts, start: Seconds) => void;
  /** One part by itself, at once. */
  readonly strike: (part: StringPart, as: 'phrase' | 'comping') => void;
  /** Ends everything at once. */
  readonly stop: () => void;
  readonly level: (mix: Mix) => void;
}
