import type { Meter } from '../../../core/phrase/types';
import type { Interval } from '../../../core/theory/interval';
import type { Pitch } from '../../../core/theory/pitch';
import type { XmlElement } from '../xml/parse';
import type { Ratio } from './value';

/*
 * A part as it stands in the file: what the walk over its measures finds, before anything is
 * understood.
 */

/** A place in a part: number of the measure from 0, and exact ticks from its beginning. */
export interface Place {
  readonly measure: number;
  readonly offset: number;
}

/** Something that stands at a place and is understood later. */
export interface PlacedElement extends Place {
  readonly element: XmlElement;
  /** Sounding minus written at this place and staff, for what names pitches. */
  readonly sounding: Interval;
}

/** One written note; after tab and notation are merged, with the elements of both. */
export interface RawNote {
  readonly elements: readonly XmlElement[];
  /** Sounding pitch, or null for `<unpitched>`. */
  readonly pitch: Pitch | null;
  /** A quarter tone above that is written. */
  readonly quarterUp: boolean;
  readonly tieStart: boolean;
  readonly tieStop: boolean;
}

/** A note, chord, grace or rest as it stands in the file. */
export interface RawItem extends Place {
  /** Exact ticks; 0 for a grace. */
  readonly duration: number;
  readonly grace: boolean;
  readonly staff: number;
  readonly voice: string;
  /** Empty for a rest. */
  readonly notes: RawNote[];
  /** `<time-modification>`: `actual` in the time of `normal`. */
  readonly ratio: Ratio | null;
  /** Ticks that type, dots and time-modification name; null where the type is not given. */
  readonly nominal: number | null;
  /** How many tuplet brackets open and close here. */
  readonly opens: number;
  readonly closes: number;
  /** Ticks of one division: what the program that wrote the file could be wrong by. */
  readonly grain: number;
  readonly element: XmlElement;
}

export interface RawMeasure {
  readonly element: XmlElement;
  readonly implicit: boolean;
  /** Exact ticks the contents take; 0 for an empty measure. */
  readonly length: number;
  /** The time signature in force, and whether the file stated it; null under senza misura. */
  readonly meter: Meter | null;
  readonly stated: boolean;
  readonly barlines: readonly XmlElement[];
  /** Ticks of one division at its end. */
  readonly grain: number;
}

export interface RawPart {
  readonly measures: readonly RawMeasure[];
  /** In the order of the file. */
  readonly items: readonly RawItem[];
  readonly harmonies: readonly PlacedElement[];
  /** `<direction>` and stand-alone `<sound>`. */
  readonly directions: readonly PlacedElement[];
  readonly keys: readonly PlacedElement[];
  /** Whether any note is written at another pitch than it sounds. */
  readonly transposed: boolean;
  /** Every `<clef>` and `<staff-details>`, with its staff. */
  readonly clefs: readonly { readonly staff: number; readonly element: XmlElement }[];
  readonly staffDetails: readonly { readonly staff: number; readonly element: XmlElement }[];
}
