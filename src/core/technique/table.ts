import type {
  DeadTechnique,
  MomentTechnique,
  NoteTechnique,
  PitchedTechnique,
  TechniqueField,
} from './fields';
import type { HardRule } from './hard-rule';

/** What the whole program knows of one technique; what a room alone knows stands in that room. */
export interface Technique<Owner extends string = string> {
  /** Whose field it is. */
  readonly owner: Owner;
  /** Stable name for programs and files; never changed. */
  readonly id: string;
  /** What a player calls it; completes 'without the'. */
  readonly word: string;
  /**
   * Whether it gives way where an edit has taken away what it needs; the note is then played plainly.
   * Where it does not, the edit is refused.
   */
  readonly givesWay: boolean;
  /** Whether it is told where an edit takes it off beside what was asked for. */
  readonly told: boolean;
  /** Whether it asks anything of string or fret, so that a note may have to do without it at a place. */
  readonly asksPlace: boolean;
  /**
   * The hard rules it can be in the way of: where a move breaks one, the note is played without it
   * (M12). Of several on one note the one with the lowest number goes first.
   */
  readonly cures?: Partial<Readonly<Record<HardRule, number>>>;
  /** Techniques of the same note or moment that cannot go with it, whatever they are like. */
  readonly conflicts?: readonly Conflict[];
}

/** Two techniques that make no sense together; it is said of the one in whose row it stands. */
export interface Conflict {
  readonly with: TechniqueField;
  /** Plain words, without a full stop. */
  readonly message: string;
  readonly fix: string;
}

type Rows = { readonly [F in PitchedTechnique]: Technique<'note'> } & {
  readonly [F in DeadTechnique]: Technique<'dead note'>;
} & { readonly [F in MomentTechnique]: Technique<'moment'> };

/** Keeps to its note wherever that lies, and is never in the way of anything. */
const FREE = { givesWay: false, told: false, asksPlace: false } as const;

/**
 * One row a technique, in the order in which they are named where a note has several. A field of the
 * model without a row does not compile. See the README of this folder for what else it needs.
 */
export const TECHNIQUES = {
  attack: {
    owner: 'note',
    id: 'attack',
    word: 'hammer-on, pull-off or slide',
    givesWay: true,
    told: true,
    asksPlace: true,
    // A pull-off to an open string is fine, so what is not goes first.
    cures: { 'open-string': 2, 'same-string': 1, 'legato-direction': 1 },
  },
  slideIn: {
    owner: 'note',
    id: 'slide-in',
    word: 'slide-in',
    givesWay: true,
    told: true,
    asksPlace: true,
    cures: { 'open-string': 1, 'slide-start': 1, 'off-the-neck': 1 },
  },
  slideOut: {
    owner: 'note',
    id: 'slide-out',
    word: 'slide off',
    givesWay: true,
    told: true,
    asksPlace: true,
    cures: { 'open-string': 1, 'off-the-neck': 1 },
  },
  bend: {
    owner: 'note',
    id: 'bend',
    word: 'bend',
    givesWay: true,
    told: true,
    asksPlace: true,
    cures: { 'open-string': 0, 'bend-width': 1 },
  },
  vibrato: {
    owner: 'note',
    id: 'vibrato',
    word: 'vibrato',
    givesWay: true,
    told: true,
    asksPlace: true,
    cures: { 'open-string': 0 },
    conflicts: [
      {
        with: 'trill',
        message: 'a note cannot have vibrato and a trill',
        fix: 'Keep one of the two.',
      },
    ],
  },
  trill: {
    owner: 'note',
    id: 'trill',
    word: 'trill',
    givesWay: true,
    told: true,
    asksPlace: true,
    cures: { 'open-string': 3, 'trill-fret': 1, 'off-the-neck': 1 },
    conflicts: [
      {
        with: 'bend',
        message: 'a bent note cannot be trilled',
        fix: 'Keep the bend or the trill.',
      },
    ],
  },
  harmonic: {
    owner: 'note',
    id: 'harmonic',
    word: 'harmonic',
    givesWay: true,
    told: true,
    // A natural one lies where its node is: it says where the note can be rather than asking more.
    asksPlace: false,
    cures: { 'harmonic-node': 1 },
  },
  barDip: { owner: 'note', id: 'bar-dip', word: 'dip', ...FREE, told: true },
  letRing: {
    owner: 'note',
    id: 'let-ring',
    word: 'let ring',
    ...FREE,
    givesWay: true,
    told: true,
    conflicts: [
      {
        with: 'palmMute',
        message: 'a note cannot ring on and be muted by the palm',
        fix: 'Remove one of the two.',
      },
      {
        with: 'staccato',
        message: 'a note cannot ring on and be cut short',
        fix: 'Remove one of the two.',
      },
    ],
  },
  ghost: { owner: 'note', id: 'ghost-note', word: 'ghost mark', ...FREE, told: true },
  finger: { owner: 'note', id: 'finger', word: 'finger', ...FREE },
  pluck: { owner: 'note', id: 'pluck', word: 'plucking finger', ...FREE },
  scrape: {
    owner: 'dead note',
    id: 'pick-scrape',
    word: 'pick scrape',
    ...FREE,
    givesWay: true,
    told: true,
  },
  graces: { owner: 'moment', id: 'grace-note', word: 'grace notes', ...FREE },
  rake: { owner: 'moment', id: 'rake', word: 'rake', ...FREE, givesWay: true, told: true },
  stroke: {
    owner: 'moment',
    id: 'stroke',
    word: 'stroke',
    ...FREE,
    givesWay: true,
    conflicts: [
      {
        with: 'strum',
        message: 'a strum has a pick stroke of its own',
        fix: 'Keep the strum or the stroke.',
      },
    ],
  },
  strum: { owner: 'moment', id: 'strum', word: 'strum', ...FREE, givesWay: true, told: true },
  palmMute: {
    owner: 'moment',
    id: 'palm-mute',
    word: 'palm mute',
    ...FREE,
    givesWay: true,
    told: true,
  },
  staccato: {
    owner: 'moment',
    id: 'staccato',
    word: 'staccato',
    ...FREE,
    givesWay: true,
    told: true,
  },
  accent: { owner: 'moment', id: 'accent', word: 'accent', ...FREE },
  tenuto: { owner: 'moment', id: 'tenuto', word: 'tenuto', ...FREE },
  tremolo: { owner: 'moment', id: 'tremolo-picking', word: 'tremolo picking', ...FREE },
} as const satisfies Rows;

/** Every technique, in the order of the table. */
export const TECHNIQUE_FIELDS = Object.keys(TECHNIQUES) as readonly TechniqueField[];

const ROWS: Readonly<Record<TechniqueField, Technique>> = TECHNIQUES;

/** The row of a technique. */
export function techniqueOf(field: TechniqueField): Technique {
  return ROWS[field];
}

/** Whether a word is the field of a technique: for pointers into a phrase. */
export function isTechnique(field: string): field is TechniqueField {
  return Object.hasOwn(TECHNIQUES, field);
}

/** The techniques of notes, with pitch and without, of which something holds. */
export function noteTechniques(
  holds: (t: Technique) => boolean = () => true,
): readonly NoteTechnique[] {
  return TECHNIQUE_FIELDS.filter(
    (f): f is NoteTechnique => ROWS[f].owner !== 'moment' && holds(ROWS[f]),
  );
}

/** The techniques of moments of which something holds. */
export function momentTechniques(
  holds: (t: Technique) => boolean = () => true,
): readonly MomentTechnique[] {
  return TECHNIQUE_FIELDS.filter(
    (f): f is MomentTechnique => ROWS[f].owner === 'moment' && holds(ROWS[f]),
  );
}

/** The techniques that can be in the way of a hard rule, in the order in which they are given up. */
export function curesOf(rule: HardRule): readonly NoteTechnique[] {
  const turn = (f: NoteTechnique) => ROWS[f].cures?.[rule] ?? 0;
  const cures = noteTechniques((t) => t.cures?.[rule] !== undefined);
  return [...cures].sort((a, b) => turn(a) - turn(b));
}
