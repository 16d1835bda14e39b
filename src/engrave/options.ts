import type { NoteId } from '../core/phrase/types';
import type { DegreeLabels } from './text/degrees';

/** Which staves are printed; `degrees` alone has the degree line with its rhythm. */
export type Staves = 'both' | 'staff' | 'tab' | 'degrees';

export interface EngraveOptions {
  /** Width of the page in px. Lines are never wider; a bar that is too wide is made smaller. */
  readonly width: number;
  /** Default `both`. */
  readonly staves?: Staves;
  /** Height of a staff space in px; default 7.5, a usual printed size is about 6.6 (1.75 mm). */
  readonly size?: number;
  /** What the degree line says; without it there is none. */
  readonly degrees?: DegreeLabels;
  /** Notes that are marked as changed, by a sign and by the class `dw-changed`. */
  readonly changed?: ReadonlySet<NoteId>;
  /** Tempo and feel over the first line; default true. */
  readonly tempo?: boolean;
  /** Bar numbers at the beginning of each line but the first; default true. */
  readonly barNumbers?: boolean;
  /** Bars without notes get the room of those with notes, to be written in by hand; default false. */
  readonly writtenIn?: boolean;
}

/** The options with their defaults filled in. */
export type Settings = Required<Omit<EngraveOptions, 'degrees'>> & {
  readonly degrees: DegreeLabels | null;
};

const NONE: ReadonlySet<NoteId> = new Set();

/**
 * The options with the usual values for what is left out; `width` and `size` in units of the page.
 */
export function settingsOf(o: EngraveOptions): Settings {
  return {
    width: o.width,
    staves: o.staves ?? 'both',
    size: o.size ?? 7.5,
    degrees: o.degrees ?? null,
    changed: o.changed ?? NONE,
    tempo: o.tempo ?? true,
    barNumbers: o.barNumbers ?? true,
    writtenIn: o.writtenIn ?? false,
  };
}

/** Whether there is a staff. */
export const showsStaff = (s: Settings) => s.staves === 'both' || s.staves === 'staff';
/** Whether there is tablature. */
export const showsTab = (s: Settings) => s.staves === 'both' || s.staves === 'tab';
/** Without a staff the rhythm stands in a line of its own. */
export const showsRhythm = (s: Settings) => s.staves === 'tab' || s.staves === 'degrees';
