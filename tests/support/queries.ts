import { foldText } from '../../src/core/library/fold';
import type { LibraryOrder } from '../../src/core/library/sort';
import { LIBRARY_ORDERS } from '../../src/core/library/sort';
import { type Phrase, ROLES } from '../../src/core/phrase/types';
import { type LineEvent, linesOf } from '../../src/core/search/define/line';
import { both, either, negated } from '../../src/core/search/query/join';
import { hasTechnique, TECHNIQUE_NAMES } from '../../src/core/search/query/technique-names';
import type {
  Atom,
  NumberName,
  Query,
  RowAtom,
  RowStep,
  Search,
  Turn,
} from '../../src/core/search/query/types';
import { NUMBER_LIMITS } from '../../src/core/search/query/words';
import { writeQuery } from '../../src/core/search/query/write';
import { chordOf } from '../../src/core/theory/chord';
import { USUAL_DEGREES } from '../../src/core/theory/degree';
import { formatRoman } from '../../src/core/theory/roman';
import type { Dice } from './generate/dice';

/** A query of which the parts are mostly taken from one phrase, so that it often finds something. */
export function randomSearch(d: Dice, p: Phrase): Search {
  const by: LibraryOrder = d.pick(LIBRARY_ORDERS);
  return {
    query: randomQuery(d, p, 2),
    order: d.chance(0.3) ? { by, reversed: d.chance(0.5) } : null,
  };
}

function randomQuery(d: Dice, p: Phrase, depth: number): Query {
  if (depth === 0 || d.chance(0.35)) return randomAtom(d, p);
  const parts = () => Array.from({ length: d.int(2, 3) }, () => randomQuery(d, p, depth - 1));
  switch (d.int(0, 4)) {
    case 0:
      return negated(randomQuery(d, p, depth - 1));
    case 1:
    case 2:
      return either(parts());
    default:
      return both(parts());
  }
}

/** Every operator. */
export const QUERY_KINDS = [
  'text',
  'numeral',
  'degree',
  'row',
  'change',
  'fits',
  'first',
  'last',
  'rhythm',
  'contour',
  'intervals',
  'with',
  'role',
  'chord',
  'number',
  'key',
  'feel',
  'meter',
  'in',
  'when',
  'member',
  'used',
] as const satisfies readonly Atom['kind'][];

/** One operator; null where the phrase has nothing that could be asked for. */
export function randomAtom(d: Dice, p: Phrase): Atom {
  const kind = d.chance(0.2) ? 'row' : d.pick(QUERY_KINDS);
  return atomOf(kind, d, p) ?? { kind: 'text', text: foldText(p.meta.title) };
}

export function atomOf(kind: Atom['kind'], d: Dice, p: Phrase): Atom | null {
  const lines = linesOf(p);
  const line = d.pick(lines).filter((e) => e.top !== null);
  const symbols = p.chords.flatMap((c) => c.symbol ?? []);
  const roman = (s: (typeof symbols)[number]) => {
    const full = formatRoman(chordOf(s), p.key).replace('♮', 'n');
    const bare = /^[b#]*[IViv]+/u.exec(full)?.[0];
    const text = d.chance(0.5) && bare !== undefined ? bare : full;
    // What D6 has no numeral for, or what would be read as something else, is asked for as it is.
    return /^[b#]*[IViv]+[\w+]*$/u.test(text) ? text : s;
  };
  switch (kind) {
    case 'text': {
      const words = foldText([p.meta.title, ...p.meta.tags, p.instrument.name].join(' ')).split(
        ' ',
      );
      const word = d.pick(words);
      return { kind, text: d.chance(0.5) ? word : word.slice(0, d.int(0, 3)) };
    }
    case 'numeral': {
      const numeral = symbols.length === 0 ? 'IV7' : roman(d.pick(symbols));
      return { kind, numeral: /^[A-G]/u.test(numeral) ? 'IV7' : numeral };
    }
    case 'degree':
      return { kind, degree: d.pick(d.pick(USUAL_DEGREES)) };
    case 'row':
      return line.length === 0 ? null : rowIn(d, line, symbols.map(roman));
    case 'change': {
      if (symbols.length < 2) return null;
      const at = d.int(0, symbols.length - 2);
      const chords = symbols.slice(at, at + d.int(2, 3)).map(roman);
      return { kind, chords: d.chance(0.1) ? ['N.C.', ...chords.slice(1)] : chords };
    }
    case 'fits': {
      if (symbols.length === 0) return null;
      // Often what it stands over, in its own key or as far from it as another phrase's key.
      const all = p.chords.filter((c, i) => i === 0 || c.symbol !== p.chords[i - 1]!.symbol);
      const chords = all.map((c) => (c.symbol === null ? 'N.C.' : roman(c.symbol)));
      if (d.chance(0.4)) return { kind, chords: chords.slice(-d.int(1, 3)) };
      return { kind, chords: d.chance(0.3) ? chords.slice(0, d.int(1, 2)) : chords };
    }
    case 'first':
    case 'last': {
      const event = kind === 'first' ? line[0] : line.at(-1);
      const degrees = event?.notes.flatMap((n) => n.degrees) ?? [];
      return degrees.length === 0 ? null : { kind, degree: d.pick(degrees) };
    }
    case 'rhythm':
      return { kind, values: rhythmIn(d, d.pick(lines)) };
    case 'contour':
    case 'intervals': {
      if (line.length < 2) return null;
      const at = d.int(0, line.length - 2);
      const here = line.slice(at, at + d.int(2, 5));
      const rises = here.slice(1).map((e, i) => e.top! - here[i]!.top!);
      if (kind === 'intervals') return { kind, semitones: rises };
      const turn = (r: number): Turn => (r > 0 ? 'up' : r < 0 ? 'down' : 'same');
      return { kind, turns: rises.map(turn) };
    }
    case 'with':
      return { kind, technique: d.pick(TECHNIQUE_NAMES) };
    case 'role':
      return { kind, role: d.pick(ROLES) };
    case 'chord':
      if (d.chance(0.1)) return { kind, chord: 'N.C.' };
      return symbols.length === 0 ? null : { kind, chord: roman(d.pick(symbols)) };
    case 'number': {
      const of = d.pick(Object.keys(NUMBER_LIMITS) as NumberName[]);
      const [least, most] = NUMBER_LIMITS[of];
      const from = d.int(least, Math.min(most, of === 'tempo' ? 200 : 24));
      const to = d.pick([from, Math.min(most, from + d.int(0, 60)), Number.POSITIVE_INFINITY]);
      return { kind, of, from, to };
    }
    case 'key':
      return d.pick<Atom>([
        { kind, tonic: p.key.tonic, mode: p.key.mode },
        { kind, tonic: p.key.tonic, mode: null },
        { kind, tonic: null, mode: p.key.mode },
      ]);
    case 'feel':
      return { kind, feel: d.pick(['straight', 'swung', 'shuffle'] as const) };
    case 'meter': {
      const { beats, beatType } = d.pick(p.bars).meter;
      return { kind, beats, beatType };
    }
    case 'in':
      return d.chance(0.5)
        ? { kind, field: 'title', text: foldText(p.meta.title).slice(0, 6).trim() || 'x' }
        : { kind, field: 'tag', text: foldText(p.meta.tags[0] ?? 'blues') };
    case 'member':
      return { kind, text: d.pick(['week', 'for', 'nobody', 'week 3']) };
    case 'used':
      return { kind, day: d.pick([null, '2026', '2026-11', '2026-10', '2026-11-20']) };
    case 'when':
      return {
        kind,
        side: d.pick(['since', 'before'] as const),
        day: p.meta.modified.slice(0, d.pick([4, 7, 10])),
      };
  }
}

function rowIn(d: Dice, line: readonly LineEvent[], chords: readonly string[]): RowAtom {
  const steps: RowStep[] = [];
  let at = d.int(0, line.length - 1);
  let height: number | null = null;
  const count = d.int(1, 4);
  for (let gap = false; steps.length < count && at < line.length; at++) {
    if (steps.length > 0 && d.chance(0.25)) {
      gap = true;
      continue;
    }
    const event = line[at]!;
    const note = d.pick(event.notes.filter((n) => n.midi !== null));
    const rise = height === null ? 0 : note.midi! - height;
    const techniques = TECHNIQUE_NAMES.filter((t) => hasTechnique(t, note.note, event.event));
    steps.push({
      degree: d.chance(0.15) ? null : d.pick(note.degrees),
      turn: rise !== 0 && d.chance(0.4) ? (rise > 0 ? 'up' : 'down') : null,
      gap,
      techniques: techniques.length > 0 && d.chance(0.3) ? [d.pick(techniques)] : [],
    });
    height = note.midi;
    gap = false;
  }
  const [first, ...more] = steps;
  const from = d.chance(0.2) ? 'tonic' : 'chord';
  const over = from === 'chord' && chords.length > 0 && d.chance(0.4) ? d.pick(chords) : null;
  // A single plain degree is another operator.
  const safe =
    more.length === 0 && over === null && first!.techniques.length === 0 && from === 'chord'
      ? { ...first!, degree: null }
      : first!;
  return { kind: 'row', from, steps: [safe, ...more], over };
}

function rhythmIn(d: Dice, line: readonly LineEvent[]) {
  const items = line.flatMap((e) => [
    ...(e.rest > 0 ? [{ rest: true, ticks: e.rest }] : []),
    { rest: false, ticks: e.event.duration },
  ]);
  const at = d.int(0, Math.max(0, items.length - 1));
  const values = items.slice(at, at + d.int(1, 4));
  while (values[0]?.rest) values.shift();
  while (values.at(-1)?.rest) values.pop();
  const sayable = values.every((v) => canSay(v.ticks));
  return values.length > 0 && sayable ? values : [{ rest: false, ticks: 5_040 }];
}

function canSay(ticks: number): boolean {
  const query: Query = { kind: 'rhythm', values: [{ rest: false, ticks }] };
  try {
    writeQuery({ query, order: null });
    return true;
  } catch {
    return false;
  }
}
