import type { Key, Mode } from '../../theory/key';

/** A form that players call by a name. */
export interface Form {
  readonly title: string;
  /** How it is typed in one line: `12b`. */
  readonly short: string;
  /** The mode of the key where none is named. */
  readonly mode: Mode;
  /** Numerals, bars parted by strokes. */
  readonly lane: string;
  /** The same in a minor key, where it has another. */
  readonly minor?: string;
}

/** Forms by their names (common practice; each has variants, which are typed over it). */
export const FORMS = {
  blues12: {
    title: '12-bar blues',
    short: '12b',
    mode: 'blues',
    lane: 'I7 | I7 | I7 | I7 | IV7 | IV7 | I7 | I7 | V7 | IV7 | I7 | V7',
    minor: 'i7 | i7 | i7 | i7 | iv7 | iv7 | i7 | i7 | bVI7 | V7 | i7 | V7',
  },
  quick12: {
    title: '12-bar blues with a quick change',
    short: '12q',
    mode: 'blues',
    lane: 'I7 | IV7 | I7 | I7 | IV7 | IV7 | I7 | I7 | V7 | IV7 | I7 | V7',
    minor: 'i7 | iv7 | i7 | i7 | iv7 | iv7 | i7 | i7 | bVI7 | V7 | i7 | V7',
  },
  jazz12: {
    title: '12-bar jazz blues',
    short: '12j',
    mode: 'blues',
    lane: 'I7 | IV7 | I7 | I7 | IV7 | #IVdim7 | I7 | VI7 | ii7 | V7 | I7 VI7 | ii7 V7',
  },
  blues8: {
    title: '8-bar blues',
    short: '8b',
    mode: 'blues',
    lane: 'I7 | V7 | IV7 | IV7 | I7 | V7 | I7 | V7',
  },
  blues16: {
    title: '16-bar blues',
    short: '16b',
    mode: 'blues',
    lane: 'I7 | I7 | I7 | I7 | I7 | I7 | I7 | I7 | IV7 | IV7 | I7 | I7 | V7 | IV7 | I7 | V7',
  },
  cadence: {
    title: 'ii–V–I over four bars',
    short: '4c',
    mode: 'major',
    lane: 'ii7 | V7 | Imaj7 | Imaj7',
    minor: 'iiø7 | V7 | i7 | i7',
  },
  turn: {
    title: 'I–vi–ii–V over four bars',
    short: '4t',
    mode: 'major',
    lane: 'Imaj7 | vi7 | ii7 | V7',
  },
} as const satisfies Record<string, Form>;
export type FormName = keyof typeof FORMS;

export const FORM_NAMES = Object.keys(FORMS) as readonly FormName[];

/** The lane of a form in a key, as numerals. */
export function laneOfForm(name: FormName, key: Key): string {
  const form: Form = FORMS[name];
  return key.mode === 'minor' ? (form.minor ?? form.lane) : form.lane;
}

/** The form of a short name or of so many bars of blues; null where there is none. */
export function formCalled(short: string): FormName | null {
  return FORM_NAMES.find((n) => FORMS[n].short === short.toLowerCase()) ?? null;
}
