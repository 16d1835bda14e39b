import { isScore } from '../../../io/file/formats';
import { type CameIn, type FileOutcome, newThings } from '../../frame/importer';
import { countOf } from '../../shared/count-of';
import { count } from '../../shared/words';

/** One line for the whole import. */
export function summaryOf(files: readonly FileOutcome[]): string {
  const failed = files.filter((f) => f.kind === 'out').length;
  const things = newThings(files);
  const joined = files.flatMap((f) =>
    f.kind === 'in' ? [...f.phrases, ...f.others].filter((t) => t.how === 'joined') : [],
  );
  const versions = files.reduce((n, f) => n + (f.kind === 'in' ? f.versions : 0), 0);
  const parts = [
    ...(things.length > 0 ? [`${countOf(things)} came into the library`] : []),
    ...(joined.length > 0
      ? [
          `${countOf(joined)} that ${joined.length === 1 ? 'was' : 'were'} here got what ${joined.length === 1 ? 'it' : 'they'} lacked`,
        ]
      : []),
    ...(versions > 0 && things.length === 0
      ? [`${count(versions, 'earlier version')} of what is here came in`]
      : []),
  ];
  const came = parts.length === 0 ? 'Nothing new came in' : parts.join('; ');
  if (failed === 0) return `${came}.`;
  if (failed === files.length) {
    return files.length === 1
      ? 'The file was not brought in; the library is as it was.'
      : `None of the ${files.length} files was brought in; the library is as it was.`;
  }
  return `${came}; ${count(failed, 'file')} did not.`;
}

/** What became of what is no phrase, a sentence for each: only what is new has come. */
export function toldOfOthers({
  phrases,
  others,
}: Pick<Extract<FileOutcome, { kind: 'in' }>, 'phrases' | 'others'>): readonly string[] {
  const withThem = phrases.length > 0 ? 'came with them' : 'came in';
  const verbs: readonly (readonly [readonly CameIn['how'][], (many: boolean) => string])[] = [
    [['added', 'copied'], () => withThem],
    [
      ['joined'],
      (many) => `that ${many ? 'were' : 'was'} here got what ${many ? 'they' : 'it'} lacked`,
    ],
    [['same'], (many) => `${many ? 'were' : 'was'} here already`],
    [
      ['older'],
      (many) =>
        `${many ? 'are earlier versions' : 'is an earlier version'} of what is here, which stays`,
    ],
  ];
  return verbs.flatMap(([how, verb]) => {
    const some = others.filter((o) => how.includes(o.how));
    return some.length === 0 ? [] : [`${countOf(some)} ${verb(some.length > 1)}.`];
  });
}

/** So many files are listed at first; those that did not come in as they were come before the others. */
export const FIRST_FILES = 100;
/** So many where there is nothing else to say than that they came in: the library is right below. */
export const FIRST_PLAIN = 12;

/** Places of the files to be listed, in the order of the list. */
export function listedFiles(files: readonly FileOutcome[], all: boolean): readonly number[] {
  const places = files.map((_, i) => i);
  if (all || files.length <= FIRST_PLAIN) return places;
  const rank = (i: number) => {
    const file = files[i]!;
    if (file.kind === 'out') return 0;
    return isPlain(file) ? 2 : 1;
  };
  const sorted = places.sort((a, b) => rank(a) - rank(b) || a - b);
  const telling = sorted.filter((i) => rank(i) < 2).length;
  return sorted.slice(0, Math.min(FIRST_FILES, Math.max(telling, FIRST_PLAIN)));
}

/** Whether all of it is new and just as the file has it. */
export function isPlain(file: Extract<FileOutcome, { kind: 'in' }>): boolean {
  return file.remarks.length === 0 && file.phrases.every((p) => p.how === 'added' && !p.long);
}

/** Whether another part or octave of a file may be asked for: of what is no score at all there is none. */
export function canBeReadAgain(file: FileOutcome): boolean {
  return isScore(file.name) && (file.kind === 'in' || file.foreign !== true);
}

/** So many phrases of one file are listed; a page with thousands of links helps nobody. */
const FIRST_PHRASES = 50;

/** The phrases of a file to be listed: what asks something of somebody before what does not. */
export function listedPhrases(phrases: readonly CameIn[]): readonly CameIn[] {
  const sorted = [...phrases].sort((a, b) => rankOf(a) - rankOf(b));
  const telling = phrases.filter((p) => rankOf(p) < PLAIN).length;
  return sorted.slice(0, Math.min(FIRST_PHRASES, Math.max(telling, FIRST_PLAIN)));
}

const PLAIN = 2;

function rankOf(p: CameIn): number {
  if (p.how === 'copied') return 0;
  if (p.how === 'same') return 3;
  return p.how === 'added' && !p.long ? PLAIN : 1;
}
