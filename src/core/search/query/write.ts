import { playedIn } from '../../phrase/tuplet';
import { isUsual, ratioText, type TupletRatio } from '../../phrase/tuplet-ratio';
import { TUPLET_RATIOS } from '../../phrase/tuplet-ratios';
import { TICKS_PER_QUARTER, type Ticks } from '../../phrase/types';
import { formatDegree } from '../../theory/degree';
import { formatPitchClass } from '../../theory/pitch';
import { readQuery } from './read';
import type { Atom, NumberAtom, Query, RhythmValue, RowAtom, RowStep, Search } from './types';
import { JOINING, ROLE_NAMES } from './words';

/** The text of a query; `readQuery` reads it back to the same. */
export function writeQuery({ query, order }: Search): string {
  const text = query.kind === 'all' ? '' : part(query, 'top');
  if (order === null) return text;
  return `${text} order:${order.reversed ? '-' : ''}${order.by}`.trimStart();
}

/** What surrounds a part decides on its parentheses. */
type Around = 'top' | 'either' | 'both' | 'not';

function part(q: Query, around: Around): string {
  switch (q.kind) {
    case 'all':
      return '""';
    case 'either': {
      const text = q.parts.map((p) => part(p, 'either')).join(' or ');
      return around === 'top' ? text : `(${text})`;
    }
    case 'both': {
      const text = side(q.parts);
      return around === 'not' ? `(${text})` : text;
    }
    case 'not':
      return `not ${part(q.part, 'not')}`;
    default:
      return atom(q);
  }
}

/** Degrees side by side would be one row, so a comma stands between two. */
function side(parts: readonly Query[]): string {
  return parts
    .map((p, i) => {
      const before = parts[i - 1];
      const rows = before !== undefined && endsInRow(before) && beginsWithRow(p);
      return `${i === 0 ? '' : rows ? ', ' : ' '}${part(p, 'both')}`;
    })
    .join('');
}

function endsInRow(q: Query): boolean {
  if (q.kind === 'not') return endsInRow(q.part);
  return beginsWithRow(q);
}

function beginsWithRow(q: Query): boolean {
  return q.kind === 'degree' || (q.kind === 'row' && q.from === 'chord');
}

function atom(a: Atom): string {
  switch (a.kind) {
    case 'text':
      return word(a.text);
    case 'numeral':
      return a.numeral;
    case 'degree':
      return formatDegree(a.degree);
    case 'row':
      return row(a);
    case 'change':
      return a.chords.join('>');
    case 'fits':
      return `fits:${a.chords.join('>')}`;
    case 'first':
    case 'last':
      return `${a.kind}:${formatDegree(a.degree)}`;
    case 'rhythm':
      return `rhythm:${a.values.map(rhythmValue).join('-')}`;
    case 'contour':
      return `contour:${a.turns.map((t) => ({ up: '>', down: '<', same: '=' })[t]).join('')}`;
    case 'intervals':
      return `intervals:${a.semitones.map((n) => (n < 0 ? `${n}` : `+${n}`)).join('')}`;
    case 'with':
      return `with:${a.technique}`;
    case 'role':
      return `role:${ROLE_NAMES.find((r) => r.role === a.role)!.name}`;
    case 'chord':
      return `chord:${a.chord}`;
    case 'number':
      return numberText(a);
    case 'key': {
      const tonic = a.tonic === null ? [] : [formatPitchClass(a.tonic)];
      return `key:${[...tonic, ...(a.mode === null ? [] : [a.mode])].join('-')}`;
    }
    case 'feel':
      return `feel:${a.feel}`;
    case 'meter':
      return `meter:${a.beats}/${a.beatType}`;
    case 'in':
      return `${a.field}:${quoted(a.text)}`;
    case 'member':
      return `in:${quoted(a.text)}`;
    case 'used':
      return `used:${a.day ?? 'never'}`;
    case 'when':
      return `${a.side}:${a.day}`;
  }
}

function row({ from, steps, over }: RowAtom): string {
  if (from === 'tonic') return `tonic:${steps.map((s) => stepText(s, '-')).join('-')}`;
  const text = steps.map((s) => stepText(s, ' ')).join(' ');
  return over === null ? text : `${text} over ${over}`;
}

function stepText(s: RowStep, joint: string): string {
  const turn = s.turn === null ? '' : s.turn === 'up' ? '>' : '<';
  const name = s.degree === null ? '?' : formatDegree(s.degree);
  return [s.gap ? `..${joint}` : '', turn, name, ...s.techniques.map((t) => `+${t}`)].join('');
}

function numberText({ of, from, to }: NumberAtom): string {
  if (from === to) return `${of}:${from}`;
  return `${of}:${from}..${to === Number.POSITIVE_INFINITY ? '' : to}`;
}

const LETTERS: readonly [letter: string, quarters: number][] = [
  ['w', 4],
  ['h', 2],
  ['q', 1],
  ['e', 1 / 2],
  ['s', 1 / 4],
  ['t', 1 / 8],
];

/** The usual ratios of tuplets first, those that everybody knows before the others. */
const RATIOS: readonly TupletRatio[] = [
  ...TUPLET_RATIOS.filter((t) => isUsual(t) && t.actual % 2 === 1),
  ...TUPLET_RATIOS.filter((t) => isUsual(t) && t.actual % 2 === 0),
  ...TUPLET_RATIOS.filter((t) => !isUsual(t)),
];

/** What stands behind a letter, the plainest first. */
const SIGNS: readonly { readonly dot: boolean; readonly ratio: TupletRatio | null }[] = [
  null,
  ...RATIOS,
].flatMap((ratio) => [
  { dot: false, ratio },
  { dot: true, ratio },
]);

/** Names of lengths in ticks, the plainest first. */
const NAMES: ReadonlyMap<Ticks, string> = new Map(
  [...SIGNS].reverse().flatMap(({ dot, ratio }) =>
    LETTERS.flatMap(([letter, quarters]): [Ticks, string][] => {
      const ticks = playedIn(ratio, TICKS_PER_QUARTER * quarters * (dot ? 1.5 : 1));
      const sign = `${letter}${dot ? '.' : ''}${ratio === null ? '' : ratioText(ratio)}`;
      return ticks === null ? [] : [[ticks, sign]];
    }),
  ),
);

function rhythmValue(v: RhythmValue): string {
  const name = NAMES.get(v.ticks);
  if (name === undefined) throw new RangeError(`no note value has ${v.ticks} ticks`);
  return (v.rest ? 'r' : '') + name;
}

/** With what follows they may be a tempo. */
const COUNTED = /^(?:dotted|eighth|quarter|half|[♩♪]\.?)$/u;

/** A word as it is, in quotes where it would be read as something else. */
function word(text: string): string {
  const plain = /^[^\s"“”,()]+$/u.test(text) && !COUNTED.test(text);
  if (plain && !JOINING.some((w) => w === text)) {
    const read = readQuery(text);
    if (read.ok && read.value.order === null) {
      const q = read.value.query;
      if (q.kind === 'text' && q.text === text) return text;
    }
  }
  return quoted(text);
}

function quoted(text: string): string {
  return `"${text.replaceAll(/["\\“”]/gu, '\\$&')}"`;
}
