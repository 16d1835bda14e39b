import type { LibraryChoices } from '../../library/choices';
import { foldText } from '../../library/fold';
import { LEVEL_WORDS } from '../../library/level-and-feel';
import { formatDegree, USUAL_DEGREES } from '../../theory/degree';
import { formatPitchClass } from '../../theory/pitch';
import { isNear } from './near';
import { readQuery } from './read';
import { FIELD_NAMES, FIELDS, type FieldName, LISTED_VALUES, USUAL_NUMERALS } from './words';

/** What can stand where one is typing. */
export interface Completion {
  /** The characters of the text that it takes the place of. */
  readonly from: number;
  readonly to: number;
  readonly text: string;
  /** Plain words; empty where the text says it all. */
  readonly meaning: string;
}

/** Words of the language that join, with what they do. */
const JOINTS = {
  or: 'one of the two',
  not: 'what comes next must not be there',
  over: 'the chord that the degrees before it belong to',
} as const;

const MOST = 12;

/**
 * What the word under the caret can become, the likeliest first.
 * @param caret Index into the text.
 * @param choices What a library holds (`choicesOf`), so that nothing is offered that finds nothing.
 */
export function completeQuery(
  text: string,
  caret: number,
  choices: LibraryChoices,
): readonly Completion[] {
  const before = text.slice(0, caret);
  const [typed] = /(?:[a-z]+:"[^"]*|[^\s,()"]*)$/iu.exec(before)!;
  // Inside quotes stand words, which are completed by nobody.
  if ((before.slice(0, before.length - typed.length).match(/["“”]/gu)?.length ?? 0) % 2 === 1) {
    return [];
  }
  const from = caret - typed.length;
  const to = caret + /^[^\s,()"]*"?/u.exec(text.slice(caret))![0].length;
  const offers = offersFor(typed, before.slice(0, from), choices);
  return offers
    .filter((o) => o.text !== text.slice(from, to))
    .slice(0, MOST)
    .map((o) => ({ from, to, ...o }));
}

type Offer = Omit<Completion, 'from' | 'to'>;

function offersFor(typed: string, before: string, choices: LibraryChoices): readonly Offer[] {
  const named = /^([a-z]+):(.*)$/isu.exec(typed);
  const field = FIELD_NAMES.find((f) => f === named?.[1]?.toLowerCase());
  if (field !== undefined) return valuesOf(field, named![2]!, choices);
  const over = /^(.*\s)over\s+$/isu.exec(before);
  // Behind it only a chord can stand.
  if (over !== null && endsInRow(over[1]!)) {
    const chords = [...USUAL_NUMERALS, ...choices.chords];
    return chords.filter((c) => c.startsWith(typed)).map((text) => ({ text, meaning: '' }));
  }
  const folded = foldText(typed);
  const begins = (word: string) => foldText(word).startsWith(folded);
  const row = endsInRow(before);
  const slip = (word: string) => word.length > 3 && folded.length > 3 && isNear(word, folded);
  const joints = Object.entries(JOINTS).filter(
    ([word]) =>
      (begins(word) || slip(word)) &&
      (word === 'over' ? row : word === 'not' || before.trim() !== ''),
  );
  const numerals = numeralsFor(typed);
  const chordFirst = /^[b#]*[IV]/u.test(typed);
  const offers: Offer[] = chordFirst ? [...numerals] : [];
  offers.push(...joints.map(([word, meaning]) => ({ text: word, meaning })));
  for (const name of FIELD_NAMES) {
    if (begins(name) || slip(name)) offers.push({ text: `${name}:`, meaning: FIELDS[name] });
  }
  if (!chordFirst) offers.push(...numerals);
  if (folded === '') return offers;
  for (const name of ['with', 'role', 'feel'] as const) {
    for (const value of LISTED_VALUES[name]!) {
      if (begins(value)) offers.push({ text: `${name}:${value}`, meaning: '' });
    }
  }
  for (const { tag, count } of choices.tags) {
    if (begins(tag)) offers.push({ text: `tag:${quotedTag(tag)}`, meaning: phrases(count) });
  }
  return offers;
}

/** Numerals that begin as what is typed, in its own case; the last of a change. */
function numeralsFor(typed: string): readonly Offer[] {
  if (!/^[b#]*[IViv]/u.test(typed)) return [];
  const cut = typed.lastIndexOf('>') + 1;
  const meaning = cut > 0 ? 'chords that follow each other' : 'a chord of the key';
  return USUAL_NUMERALS.filter((n) => n.startsWith(typed.slice(cut))).map((n) => ({
    text: typed.slice(0, cut) + n,
    meaning,
  }));
}

function valuesOf(field: FieldName, typed: string, choices: LibraryChoices): readonly Offer[] {
  const folded = foldText(typed.replace(/^"/u, ''));
  // A numeral in capitals is another chord.
  const inItsCase = (field === 'fits' || field === 'chord') && /[IViv]\d*$/u.test(typed);
  const values: readonly Offer[] = valuesFor(field, typed, choices);
  return values
    .filter(
      (v) =>
        (inItsCase
          ? v.text.startsWith(typed)
          : foldText(v.text.replaceAll('"', '')).startsWith(folded)) ||
        // A level is known by its word, too.
        (field === 'level' && v.meaning.startsWith(folded)),
    )
    .map((v) => ({ ...v, text: `${field}:${v.text}` }))
    .filter((v) => readQuery(v.text).ok);
}

function valuesFor(field: FieldName, typed: string, choices: LibraryChoices): readonly Offer[] {
  const plain = (values: readonly string[]): readonly Offer[] =>
    values.map((text) => ({ text, meaning: '' }));
  switch (field) {
    case 'tag':
      return choices.tags.map(({ tag, count }) => ({
        text: quotedTag(tag),
        meaning: phrases(count),
      }));
    case 'in':
      return (choices.collections ?? []).map(({ title, count }) => ({
        text: quotedTag(title),
        meaning: phrases(count),
      }));
    case 'key': {
      const keys = choices.keys.map((k) => `${formatPitchClass(k.tonic)}-${k.mode}`);
      return plain([...keys, ...LISTED_VALUES.key!]);
    }
    case 'chord':
      return plain([...USUAL_NUMERALS.slice(0, 6), ...choices.chords]);
    case 'fits': {
      const before = typed.slice(0, typed.lastIndexOf('>') + 1);
      return plain([...USUAL_NUMERALS, ...choices.chords].map((c) => before + c));
    }
    case 'style':
      return choices.styles.map(({ style, count }) => ({
        text: quotedTag(style),
        meaning: phrases(count),
      }));
    case 'level':
      return LEVEL_WORDS.map((meaning, i) => ({ text: String(i + 1), meaning }));
    case 'first':
    case 'last':
    case 'tonic':
      return plain(USUAL_DEGREES.flat().map(formatDegree));
    default:
      return plain(LISTED_VALUES[field] ?? []);
  }
}

/** Whether what stands before can be followed by `over`. */
function endsInRow(before: string): boolean {
  const read = readQuery(`${before} over I`);
  if (!read.ok) return false;
  const { query } = read.value;
  const last = query.kind === 'both' || query.kind === 'either' ? query.parts.at(-1) : query;
  return last?.kind === 'row' && last.over === 'I';
}

function quotedTag(tag: string): string {
  const folded = foldText(tag);
  return /^[^\s,()"]+$/u.test(folded) ? folded : `"${folded.replaceAll(/["\\]/gu, '\\$&')}"`;
}

function phrases(n: number): string {
  return `${n} phrase${n === 1 ? '' : 's'}`;
}
