import { SHAPE_KINDS, type ShapeKind } from '../../../core/shapes/types';
import { type Degree, parseDegree } from '../../../core/theory/degree';
import { SCALE_NAMES } from '../../../core/theory/scales';
import type { Query } from '../../shared/query';

/** What the neck shows; kept in the address of the page. */
export interface NeckChoice {
  readonly show: 'phrase' | 'chord' | 'scale' | 'own' | 'shapes';
  /** Which stretch of bars, or which chord of the lane, from 0. */
  readonly part: number;
  readonly scale: string;
  readonly own: string;
  readonly whole: boolean;
  /** What shapes are of: as typed, the first chord of the lane when empty. */
  readonly over: string;
  readonly kind: ShapeKind;
  /** Fret of the index finger; null for the phrase's own. */
  readonly near: number | null;
  /** Only shapes on these strings, `3,2,1`; on any when empty. */
  readonly strings: string;
  /** Over which chords the hand follows: those of the lane, or I, IV and V; the lane's own choice when empty. */
  readonly along: '' | 'lane' | 'key';
}

const SHOWS = ['phrase', 'chord', 'scale', 'own', 'shapes'] as const;

/** Reads it from an address; null where the neck is put away. */
export function readNeck(query: Query): NeckChoice | null {
  const show = SHOWS.find((s) => s === query.neck);
  if (show === undefined) return null;
  const part = Number(query.part ?? 0);
  return {
    show,
    part: Number.isInteger(part) && part >= 0 ? part : 0,
    scale: SCALE_NAMES.find((n) => n === query.scale) ?? '',
    own: query.own ?? '',
    whole: query.frets === 'all',
    over: query.over ?? '',
    kind: SHAPE_KINDS.find((k) => k === query.kind) ?? 'double stop',
    near: /^\d{1,2}$/u.test(query.near ?? '') ? Number(query.near) : null,
    strings: /^\d+(,\d+)*$/u.test(query.strings ?? '') ? query.strings! : '',
    along: query.along === 'lane' || query.along === 'key' ? query.along : '',
  };
}

/** The part of the address that `readNeck` reads; the usual is left out. */
export function writeNeck(c: NeckChoice | null): Query {
  if (c === null) return {};
  return {
    neck: c.show,
    ...(c.part === 0 || (c.show !== 'phrase' && c.show !== 'chord')
      ? {}
      : { part: String(c.part) }),
    ...(c.show !== 'scale' || c.scale === '' ? {} : { scale: c.scale }),
    ...(c.show !== 'own' || c.own === '' ? {} : { own: c.own }),
    ...(c.whole ? { frets: 'all' } : {}),
    ...(c.show === 'shapes' ? shapesQuery(c) : {}),
  };
}

function shapesQuery({ over, kind, near, strings, along }: NeckChoice): Query {
  return {
    ...(over === '' ? {} : { over }),
    ...(kind === 'double stop' ? {} : { kind }),
    ...(near === null ? {} : { near: String(near) }),
    ...(strings === '' ? {} : { strings }),
    ...(along === '' ? {} : { along }),
  };
}

/** What the neck shows when it is brought out. */
export const FIRST_CHOICE: NeckChoice = {
  show: 'phrase',
  part: 0,
  scale: '',
  own: '',
  whole: false,
  over: '',
  kind: 'double stop',
  near: null,
  strings: '',
  along: '',
};

/** `R ♭3 4`, in any spelling; what is no degree is left out. */
export function degreesIn(text: string): readonly Degree[] {
  return text
    .split(/[\s,]+/u)
    .map(parseDegree)
    .filter((d) => d !== null);
}
