import type { OwnForm } from '../form/types';
import type { Lesson } from '../lesson/types';
import type { Collection } from '../library/collection';
import { sameData } from '../phrase/same';
import type { Phrase } from '../phrase/types';
import type { Plan } from '../plan/types';
import { formDifferences } from './form';
import { lessonDifferences } from './lesson';
import { phraseDifferences } from './phrase';
import {
  type AnyRecord,
  BESIDE,
  both,
  counted,
  differingFields,
  type Known,
  quoted,
  texts,
} from './words';

/**
 * What differs between two of one kind, each thing in a few words: with both values, that of `a` first,
 * where they are short. Empty where nothing but the id, the time of the change and what is only a name inside
 * (of notes) differs.
 * @param known What is said of what only one has, and the titles of phrases that are named by ids.
 */
export function differences(
  a: AnyRecord,
  b: AnyRecord,
  { sides = BESIDE, titleOf = () => null }: Partial<Known> = {},
): readonly string[] {
  const fields = new Set(differingFields(a, b));
  if (fields.size === 0) return [];
  const known = { sides, titleOf };
  const own = OWN[a.format];
  // What has one format is of one kind.
  if (a.format === PHRASE && b.format === PHRASE)
    return phraseDifferences(a as unknown as Phrase, b as unknown as Phrase);
  if (own === undefined || a.format !== b.format) return named(fields, []);
  const title = fields.has('title') ? [texts('title', a.meta.title, b.meta.title)] : [];
  return [
    ...title,
    ...own.differ(a as never, b as never, known),
    ...named(fields, ['title', ...own.fields]),
  ];
}

const PHRASE = 'degreewise-phrase';

interface Own {
  /** What of it is told by itself. */
  readonly fields: readonly string[];
  differ(a: never, b: never, known: Known): readonly string[];
}

const OWN: Readonly<Record<string, Own>> = {
  'degreewise-lesson': {
    fields: ['intro', 'items', 'phrases'],
    differ: (a: Lesson, b: Lesson, known: Known) => lessonDifferences(a, b, known),
  },
  'degreewise-form': {
    fields: ['mode', 'meter', 'feel', 'tempo', 'sections'],
    differ: (a: OwnForm, b: OwnForm) => formDifferences(a, b),
  },
  'degreewise-collection': {
    fields: ['notes', 'purpose', 'phrases'],
    differ: collectionDifferences,
  },
  'degreewise-plan': {
    fields: ['student', 'minutes', 'fresh', 'tempo'],
    differ: planDifferences,
  },
};

/** Fields that a musician calls otherwise. */
const NAMES: Readonly<Record<string, string>> = {
  parent: 'what it was made from',
  created: 'when it was made',
  asked: 'what is asked',
  keys: 'keys to go through',
  begun: 'the day it was begun',
  seed: 'the order of a day',
  log: 'the log',
};

const named = (fields: ReadonlySet<string>, told: readonly string[]): readonly string[] =>
  [...fields].filter((f) => !told.includes(f)).map((f) => NAMES[f] ?? f);

/** So many phrases are named. */
const MOST_NAMED = 3;

function collectionDifferences(a: Collection, b: Collection, known: Known): readonly string[] {
  const [inA, inB] = [new Set(a.phrases), new Set(b.phrases)];
  const gone = a.phrases.filter((id) => !inB.has(id));
  const came = b.phrases.filter((id) => !inA.has(id));
  const order = (ids: readonly string[], other: ReadonlySet<string>) =>
    ids.filter((id) => other.has(id));
  return [
    ...(a.meta.notes === b.meta.notes ? [] : [texts('notes', a.meta.notes, b.meta.notes)]),
    ...(a.purpose === b.purpose ? [] : [both('what it is for', a.purpose, b.purpose)]),
    ...phraseWords(gone, known, known.sides.onlyA),
    ...phraseWords(came, known, known.sides.onlyB),
    ...(sameData(order(a.phrases, inB), order(b.phrases, inA)) ? [] : ['order of the phrases']),
  ];
}

/** `2 phrases only in the first ('Stair', 'Quay')`. */
function phraseWords(ids: readonly string[], { titleOf }: Known, word: string): readonly string[] {
  if (ids.length === 0) return [];
  const titles = ids.slice(0, MOST_NAMED).flatMap((id) => titleOf(id) ?? []);
  const some = titles.map(quoted).join(', ');
  const more = ids.length > titles.length ? ' …' : '';
  return [`${counted(ids.length, 'phrase')} ${word}${some === '' ? '' : ` (${some}${more})`}`];
}

function planDifferences(a: Plan, b: Plan): readonly string[] {
  const numbers: readonly (readonly [string, (p: Plan) => number])[] = [
    ['minutes a day', (p) => p.minutes],
    ['new items a day', (p) => p.fresh],
    ['percent of the tempo to begin with', (p) => p.tempo.from],
    ['percent by which it rises', (p) => p.tempo.by],
    ['percent to arrive at', (p) => p.tempo.to],
  ];
  return [
    ...(a.student === b.student ? [] : [texts('student', a.student, b.student)]),
    ...numbers.flatMap(([what, of]) => (of(a) === of(b) ? [] : [both(what, of(a), of(b))])),
  ];
}
