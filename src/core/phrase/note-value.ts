import { TICKS_PER_QUARTER, type Ticks } from './types';

/** Written note values from the longest; the names are MusicXML's note-type-value. */
export const NOTE_VALUES = [
  'whole',
  'half',
  'quarter',
  'eighth',
  '16th',
  '32nd',
  '64th',
  '128th',
] as const;
export type NoteValue = (typeof NOTE_VALUES)[number];

/** A note value with its augmentation dot. */
export interface WrittenValue {
  readonly value: NoteValue;
  readonly dots: 0 | 1;
}

/** Ticks of an undotted whole note. */
export const WHOLE_TICKS: Ticks = 4 * TICKS_PER_QUARTER;

/** The shortest value that is written outside tuplets, a 128th; all binary times are multiples (T1). */
export const SHORTEST_TICKS: Ticks = WHOLE_TICKS / 128;

/** Ticks of a value outside tuplets. */
export function ticksOfValue(v: WrittenValue): Ticks {
  const plain = WHOLE_TICKS / 2 ** NOTE_VALUES.indexOf(v.value);
  return v.dots === 1 ? plain * 1.5 : plain;
}

/** Every legal value by its ticks: undotted to the 128th, dotted to the 64th (T1). */
const BY_TICKS: ReadonlyMap<Ticks, WrittenValue> = new Map(
  NOTE_VALUES.flatMap((value): [Ticks, WrittenValue][] => {
    const plain: WrittenValue = { value, dots: 0 };
    const dotted: WrittenValue = { value, dots: 1 };
    return value === '128th'
      ? [[ticksOfValue(plain), plain]]
      : [
          [ticksOfValue(plain), plain],
          [ticksOfValue(dotted), dotted],
        ];
  }),
);

/**
 * The single value that lasts exactly so long outside tuplets, or null where a tie would be needed.
 * @example valueOfTicks(15_120) // { value: 'quarter', dots: 1 }
 */
export function valueOfTicks(ticks: Ticks): WrittenValue | null {
  return BY_TICKS.get(ticks) ?? null;
}

/** Number of flags or beams of a value: 0 down to the quarter, 1 for an eighth, 5 for a 128th. */
export function beamsOfValue(value: NoteValue): number {
  return Math.max(0, NOTE_VALUES.indexOf(value) - 2);
}
