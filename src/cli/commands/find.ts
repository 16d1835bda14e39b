import { distance } from 'fastest-levenshtein';
import { type Around, aroundOf } from '../../core/library/around';
import { factsOf } from '../../core/library/facts';
import { sortPhrases } from '../../core/library/sort';
import { positionOf } from '../../core/phrase/time';
import type { NoteId, Phrase } from '../../core/phrase/types';
import { notesOf } from '../../core/phrase/walk';
import { ok } from '../../core/result';
import { define } from '../../core/search/define/define';
import { defineMatch } from '../../core/search/define/match';
import { spotDegree } from '../../core/search/define/why';
import { byStretch } from '../../core/search/query/by-stretch';
import { correctSearch, type Instead } from '../../core/search/query/correct';
import type { Search } from '../../core/search/query/types';
import { asksWords } from '../../core/search/query/wordings';
import { writeQuery } from '../../core/search/query/write';
import { type Fit, fitsHere } from '../../core/solo/fits';
import { formatDegree, parseDegree } from '../../core/theory/degree';
import { formatKey } from '../../core/theory/key';
import { analyse } from '../../core/understand/analyse';
import type { Thing } from '../../io/kinds/kind';
import { COLLECTIONS, USES } from '../../io/kinds/kinds';
import { ASCII, type Signs, TYPESET } from '../../io/text/signs';
import type { FindOptions } from '../find-flags';
import { ofKind } from '../of-kind';
import type { Shell } from '../shell';
import { count, localDay } from '../words';
import { likestOf } from './narrow';

/** A phrase with where it stands. */
export interface Collected {
  readonly file: string;
  /** Its place in a library, from 1; null where it is alone in its file. */
  readonly number: number | null;
  readonly phrase: Phrase;
}

/**
 * Tells which of the phrases are what was looked for, and where in them.
 * @param others What is no phrase: collections, and when phrases were used.
 * @param like The phrase that they are to be like, or null.
 */
export function tellFound(
  shell: Shell,
  options: FindOptions,
  all: readonly Collected[],
  others: readonly Thing[] = [],
  like: Phrase | null = null,
): void {
  const { search, instead } = mended(options.search, all);
  const o = { ...options, search };
  const around = aroundIn(others, shell.io.now());
  const { query } = search;
  // Where nothing is asked, no phrase is read.
  const held =
    query.kind === 'all' ? all : all.filter((c) => define(query, c.phrase, around).holds);
  const holding = inOrder(o, around, held);
  const alike: readonly Listed[] =
    like === null ? holding.map((is) => ({ is })) : likestOf(like, holding);
  const fitting =
    o.fits === undefined
      ? ok(null)
      : fitsHere({ length: alike.length, at: (i) => alike[i]?.is.phrase }, o.fits, o.count);
  if (!fitting.ok) {
    for (const p of fitting.problems) {
      shell.misuse({ ...p, message: `in --fits '${o.fits?.lane}': ${p.message}` });
    }
    return;
  }
  const found: readonly Listed[] =
    fitting.value?.fits.map((fit) => ({ ...alike[fit.index]!, fit })) ?? alike;
  const told = found.slice(0, o.count).map((c) => tellOne(o, around, c));
  for (const slip of instead) shell.remark(`${insteadOf(slip)}\n`);
  if (o.json) {
    const value = { query: writeQuery(o.search), total: found.length, found: told };
    shell.print(`${JSON.stringify(value, null, 2)}\n`);
    return;
  }
  for (const f of told) shell.print(lineOf(f, shell.ascii));
  const more = fitting.value?.more
    ? ', and more may fit'
    : found.length > told.length
      ? `, ${told.length} are listed`
      : '';
  shell.remark(
    `${found.length} of ${count(all.length, 'phrase')}${more}${adviceOn(found.length, all.length, o)}\n`,
  );
}

/** A word that no phrase says becomes those that are nearest to it, as in the library. */
function mended(search: Search, all: readonly Collected[]): ReturnType<typeof correctSearch> {
  let known: ReadonlySet<string> | null = null;
  const words = () => {
    known ??= new Set(all.flatMap((c) => factsOf(c.phrase).text.split(' ')));
    return known;
  };
  const says = (part: string) => [...words()].some((w) => w.includes(part));
  const saysAll = (parts: readonly (readonly string[])[]) =>
    all.some(({ phrase }) => {
      const { text } = factsOf(phrase);
      return parts.every((some) => some.some((w) => text.includes(w)));
    });
  return correctSearch(search, { says, words, has: (w) => words().has(w), saysAll }, distance);
}

function insteadOf({ typed, words, alone }: Instead): string {
  const named = words.map((w) => `'${w}'`).join(' or ');
  const none = alone ? `No phrase says '${typed}'` : `No phrase says '${typed}' and the rest`;
  return `${none}. Shown is what says ${named}.`;
}

/** What to do where nothing is found. */
function adviceOn(found: number, all: number, { fits, search }: FindOptions): string {
  if (found > 0) return '';
  const query = byStretch(search.query);
  if (query !== null && all > 0) {
    const asked = writeQuery({ ...search, query });
    return `. 'fits:' asks for phrases that end with these chords; '${asked}' finds them anywhere in a phrase.`;
  }
  if (fits !== undefined && all > 0)
    return '. Give a lane of as many bars as a phrase has, or one symbol for all of them.';
  return all === 0
    ? '. Name files or folders that hold phrases.'
    : '. Leave a part of the question out, or look in more files.';
}

/** What the files know of their phrases besides; days count from the day of this machine. */
function aroundIn(others: readonly Thing[], now: Date): Around {
  return aroundOf(ofKind(others, COLLECTIONS), ofKind(others, USES), localDay(now));
}

/** One that is found; how unlike it is, and how it fits, where that was asked. */
interface Listed {
  readonly is: Collected;
  readonly unlikeness?: number;
  readonly fit?: Fit;
}

/** As the query says; else what its words fit best first, and of equal ones as they were read. */
function inOrder(
  { search }: FindOptions,
  { uses }: Around,
  found: readonly Collected[],
): readonly Collected[] {
  const by = search.order?.by ?? (asksWords(search.query) ? 'match' : null);
  if (by === null) return found;
  const turned = (list: readonly Collected[]) =>
    search.order?.reversed ? [...list].reverse() : list;
  if (by === 'match') {
    const matchOf = defineMatch(search.query);
    const ranked = found.map((is) => ({ is, rank: matchOf(is.phrase) }));
    return turned(ranked.sort((a, b) => a.rank - b.rank).map((r) => r.is));
  }
  // A phrase may stand in several files; facts are told apart by their place, not by their id.
  const facts = found.map((c, i) => ({ ...factsOf(c.phrase), place: i }));
  return turned(sortPhrases(facts, by, uses).map((f) => found[f.place]!));
}

/** One answer as `--json` lists it. */
interface Told {
  readonly file: string;
  /** Place in a library from 1; absent for a phrase alone in its file. */
  readonly number?: number;
  readonly id: string;
  readonly title: string;
  readonly key: string;
  readonly bars: number;
  readonly level: number | null;
  /** Only with --like: 0 for the same in any key, up to 1. */
  readonly unlikeness?: number;
  /** Only with --fits: octaves beyond what the move chose, and parts of a sentence. */
  readonly octaves?: number;
  readonly why?: readonly string[];
  /** The notes that were matched; none where no note decides. */
  readonly notes: readonly ToldNote[];
}

interface ToldNote {
  readonly id: NoteId;
  readonly bar: number;
  readonly beat: number;
  readonly string: number;
  readonly fret: number;
  /** What is heard, against its chord, or against the key without one; null for a dead note. */
  readonly degree: string | null;
  /** From where it is bent or slid; absent where it is not. */
  readonly from?: string;
}

function tellOne(
  o: FindOptions,
  around: Around,
  { is: { file, number, phrase: p }, unlikeness, fit }: Listed,
): Told {
  const { notes } = define(o.search.query, p, around);
  const { byId } = analyse(p);
  return {
    file,
    ...(number === null ? {} : { number }),
    id: p.id,
    title: p.meta.title,
    key: formatKey(p.key),
    bars: p.bars.length,
    level: p.meta.level ?? null,
    ...(unlikeness === undefined ? {} : { unlikeness: Math.round(unlikeness * 1000) / 1000 }),
    ...(fit === undefined ? {} : { octaves: fit.octaves, why: fit.why }),
    notes: notesOf(p)
      .filter((n) => notes.has(n.note.id))
      .map(({ note, onset }) => {
        const reading = byId.get(note.id);
        const degree = reading === undefined ? null : spotDegree(reading);
        return {
          id: note.id,
          ...positionOf(p, onset),
          string: note.string,
          fret: note.fret,
          degree: degree === null ? null : formatDegree(degree.heard),
          ...(degree?.from == null ? {} : { from: formatDegree(degree.from) }),
        };
      }),
  };
}

function lineOf(f: Told, ascii: boolean): string {
  const title = f.title.trim() === '' ? 'untitled' : f.title;
  const place = f.number === undefined ? f.file : `${f.file} ${f.number}`;
  const level = f.level === null ? '' : `, level ${f.level}`;
  const alike =
    f.unlikeness === undefined ? '' : `  ${Math.round(100 * (1 - f.unlikeness))}% alike`;
  const head = `${title} (${f.key}, ${count(f.bars, 'bar')}${level})${alike}  ${place}\n`;
  const bars = new Map<number, string[]>();
  for (const n of f.notes) {
    bars.set(n.bar, [...(bars.get(n.bar) ?? []), degreeText(n, ascii ? ASCII : TYPESET)]);
  }
  const lines = [...bars].map(([bar, degrees]) => `bar ${bar}: ${degrees.join(' ')}`);
  const why = f.why === undefined ? '' : `    ${f.why.join('; ')}\n`;
  return head + why + (lines.length === 0 ? '' : `    ${lines.join('; ')}\n`);
}

function degreeText({ degree, from }: ToldNote, signs: Signs): string {
  if (degree === null) return signs.times;
  const sign = (name: string) => {
    const d = parseDegree(name);
    return d === null ? name : signs.degree(d);
  };
  return from === undefined ? sign(degree) : `${sign(from)}${signs.arrow}${sign(degree)}`;
}
