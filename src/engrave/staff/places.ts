import type { NoteId } from '../../core/phrase/types';
import type { Fragment } from '../ink/pen';
import type { ScoreItem } from '../score/score';
import type { HeadsPlace } from './heads';

/** One item as it stands in its column; x from the column's origin, y from the staff's top line. */
export interface ItemPlace {
  readonly item: ScoreItem;
  /** Null for a rest. */
  readonly heads: HeadsPlace | null;
  /** Middle of the heads on the stem's proper side, or of the rest: what a fret stands under. */
  readonly centre: number;
  /**
   * One head serves both voices where they strike the same note: the first voice draws it as its
   * lowest, the second has only a stem at it. The name of the other item then, else null.
   */
  readonly sharedWith: string | null;
  /** End of the stem where the item stands alone; null where a beam will decide, and without a stem. */
  readonly stemEnd: number | null;
}

export interface StaffColumn {
  readonly fragment: Fragment;
  readonly items: readonly ItemPlace[];
}

/** What a column asks of the page it is on. */
export interface ColumnStyle {
  /** Notes that get the class of changed ones. */
  readonly changed: ReadonlySet<NoteId>;
  /** Both voices sound in the bar. */
  readonly divided: boolean;
  /** There is no tablature, so signs of the hand go to the staff. */
  readonly alone: boolean;
}
