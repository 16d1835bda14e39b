import type { Moved } from '../move/request';
import type { Laid } from './assemble';
import type { HandIn } from './hand';
import type { Sketched } from './placer';

/** A phrase that was moved and fingered where it stands. */
export interface Chosen extends Laid {
  readonly candidate: Sketched;
  readonly moved: Moved;
  readonly pinned: boolean;
  readonly hand: HandIn;
  /** What is said of it where it, or a note of it, lies elsewhere than its shape does (`FromHand`). */
  readonly elsewhere?: string;
}
