import type { RecordHead } from '../phrase/record';
import type { Feel, Meter, Tempo } from '../phrase/types';
import type { Mode } from '../theory/key';

/** A stretch of a form with a name of its own. */
export interface FormSection {
  /** As musicians call it: A, B; one section alone needs none. */
  readonly name: string;
  /** Numerals, bars divided by `|`, several in a bar sharing its beats (as in a lane, M2). */
  readonly bars: string;
}

/** A song form in numerals: no key of its own, so that it is laid out in any. */
export interface Form {
  /** Short, for the command line. */
  readonly id: string;
  readonly title: string;
  readonly mode: Mode;
  readonly meter: Meter;
  readonly feel: Feel;
  /** What it is played at when nobody says. */
  readonly tempo: Tempo;
  /** In the order played; at least one. */
  readonly sections: readonly [FormSection, ...FormSection[]];
}

/** The version of the stored form that this code writes. */
export const FORM_VERSION = 1;

/** A form of the user's own, as a library keeps it. The stored JSON has exactly this shape. */
export interface OwnForm
  extends Omit<Form, 'id' | 'title'>,
    RecordHead<'degreewise-form', typeof FORM_VERSION> {}

/** A form of the user's own as a form like any other. */
export function formOfOwn({ id, meta, mode, meter, feel, tempo, sections }: OwnForm): Form {
  return { id, title: meta.title, mode, meter, feel, tempo, sections };
}
