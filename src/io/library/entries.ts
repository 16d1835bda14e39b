import type { Phrase } from '../../core/phrase/types';
import { fail, type Problem, type Result } from '../../core/result';
import { formatOf, readDocument } from '../json/document';
import { LIMITS } from '../json/limits';
import type { RawDocument } from '../json/migrate';
import { type AnyKind, type CheckedThing, check } from '../kinds/kind';
import { PHRASES } from '../kinds/kinds';
import type { FoundRight } from './found-right';
import '../kinds/checks-at-hand';

/** The lists of a library file: phrases, and things of all other kinds. */
export type ListName = 'phrases' | 'others';

/** Who takes the phrases of a library one by one, as they are read, so that not all are held at once. */
export interface Taking {
  /**
   * The id of a phrase that was taken before, by the text in which it stands in a file, as `encodeDecoded` writes it: it
   * was found right, and is not handed over again. Null for one that is to be read.
   */
  known(text: string): string | null;
  take(phrase: Phrase): void;
}

/** So many broken entries are read before a library is given up. */
const MOST_BROKEN = 20;

/**
 * Checks the entries of a library one after the other, each as it is when it stands alone, and keeps
 * what is wrong with any of them.
 */
export class Entries {
  readonly problems: Problem[] = [];
  private readonly places = new Map<string, number>();
  private broken = 0;

  /**
   * @param kinds What a library can hold.
   * @param right What an earlier reading has found, and what this one finds.
   * @param known The id of a phrase that somebody has already, by its text; see `Taking`.
   */
  constructor(
    private readonly kinds: readonly AnyKind[],
    private readonly right: FoundRight | null = null,
    private readonly known: Taking['known'] = () => null,
  ) {}

  get givenUp(): boolean {
    return this.broken >= MOST_BROKEN;
  }

  /**
   * @param input Its text, or what was parsed of it; an empty text for one that is missing.
   * @returns null where anything is wrong with it, or it is known.
   */
  check(list: ListName, at: number, input: Result<RawDocument> | string): CheckedThing | null {
    const known = typeof input === 'string' && list === 'phrases' ? this.known(input) : null;
    if (known !== null) {
      this.place(list, at, PHRASES, known);
      return null;
    }
    const document = typeof input === 'string' ? documentIn(input) : input;
    const read = document.ok ? this.read(list, document.value) : document;
    if (!read.ok) {
      this.broken += 1;
      for (const p of read.problems) {
        this.problems.push({ ...p, pointer: `/${list}/${at}${p.pointer ?? ''}` });
      }
      return null;
    }
    const { kind, value } = read.value;
    this.place(list, at, kind, kind.identityOf(value).id);
    return read.value;
  }

  /** Each id is there once. */
  private place(list: ListName, at: number, kind: AnyKind, id: string): void {
    const key = `${kind.name} ${id}`;
    const first = this.places.get(key);
    if (first === undefined) this.places.set(key, at);
    else {
      this.broken += 1;
      this.problems.push({
        message: `the ${kind.noun} has the same id as ${
          list === 'phrases' ? 'phrase' : 'entry'
        } ${first + 1}`,
        fix: 'Give one of them another id, or remove it.',
        pointer: `/${list}/${at}/id`,
      });
    }
  }

  private read(list: ListName, document: RawDocument): Result<CheckedThing> {
    const kind = list === 'phrases' ? PHRASES : this.kindOf(document);
    if (kind === null) return fail(unknownFormat(formatOf(document)));
    const known = this.right?.known(kind, document) ?? null;
    if (known !== null) return { ok: true, value: known };
    const read = check(kind, document);
    if (!read.ok) return read;
    const checked = { kind, ...read.value };
    this.right?.add(checked);
    return { ok: true, value: checked };
  }

  private kindOf(document: RawDocument): AnyKind | null {
    const format = formatOf(document);
    const kind = this.kinds.find((k) => k.versions.format === format);
    return kind === undefined || kind === PHRASES ? null : kind;
  }
}

function documentIn(text: string): Result<RawDocument> {
  return text === '' ? fail(MISSING) : readDocument(text, LIMITS.phraseText);
}

function unknownFormat(format: unknown): Problem {
  if (format === PHRASES.versions.format) {
    return {
      message: 'a phrase stands among the things that are no phrases',
      fix: "Put it into the list 'phrases'.",
      pointer: '/format',
    };
  }
  const ours = typeof format === 'string' && /^degreewise-[a-z-]{1,40}$/u.test(format);
  return {
    message: ours ? `this program does not know the format ${format}` : 'nothing says what this is',
    fix: ours
      ? 'Open the file with a newer release of the program.'
      : "Its field 'format' must name one of the formats of this program.",
    pointer: '/format',
  };
}

const MISSING: Problem = {
  message: 'there is nothing between two commas',
  fix: 'Remove one of the commas.',
};
