import { foldText } from '../../library/fold';
import { readTerms } from '../../library/terms';
import { fail, ok, type Problem, type Result } from '../../result';
import { NO_CHORD } from '../chord-test';
import { both, either, negated } from './join';
import { isNear } from './near';
import { joinRow, type PlacedPart, readRowWord } from './row';
import { cutQuery, problemAt, type Token } from './scan';
import type { Atom, Query, QueryOrder, RowStep, Search } from './types';
import { readChordText, readField, readOrder } from './values';
import { FIELD_NAMES, type FieldName, NUMBER_LIMITS } from './words';

/** More than anybody types; a longer text is refused, so that it cannot keep a page busy. */
export const MOST_CHARACTERS = 2000;
/** How deep parentheses and `not` may lie in each other. */
const DEEPEST = 50;

/**
 * Reads a text of the query language. Parts that stand side by side must all hold, `or` and `not` and
 * parentheses mean what they say; see the README of this folder for the whole language.
 * @returns what is looked for; or the first thing that is wrong, with its column.
 */
export function readQuery(text: string): Result<Search> {
  if (text.length > MOST_CHARACTERS) {
    return fail(
      problemAt(
        MOST_CHARACTERS,
        `the text has more than ${MOST_CHARACTERS} characters`,
        'Look for less at once.',
      ),
    );
  }
  const tokens = cutQuery(text);
  if ('message' in tokens) return fail(tokens);
  try {
    return ok(new Reader(tokens, text.length).readAll());
  } catch (e) {
    if (e instanceof Wrong) return fail(e.problem);
    throw e;
  }
}

/** Leaves the reading from any depth; never seen outside. */
class Wrong extends Error {
  constructor(readonly problem: Problem) {
    super(problem.message);
  }
}

function refuse(problem: Problem): never {
  throw new Wrong(problem);
}

function sure<T extends object>(read: T | Problem): T {
  return 'message' in read ? refuse(read as Problem) : (read as T);
}

/** `quarter = 104`, `dotted quarter = 66.5`, `♩ = 104`. */
const TEMPO =
  /^((?:(?:dotted )?(?:eighth|quarter|half)|[♩♪]\.?) ?= ?(\d{1,3}(?:\.\d{1,3})?))(?: |$)/iu;

class Reader {
  private next = 0;
  private order: QueryOrder | null = null;

  constructor(
    private readonly tokens: readonly Token[],
    private readonly length: number,
  ) {}

  readAll(): Search {
    const query = this.readEither(0) ?? { kind: 'all' };
    const rest = this.tokens[this.next];
    if (rest?.kind === 'close') {
      refuse(
        problemAt(rest.at, 'this parenthesis closes none', 'Take it away, or open one first.'),
      );
    }
    return { query, order: this.order };
  }

  /** @returns null where there is nothing, or nothing but an order. */
  private readEither(depth: number): Query | null {
    const parts: Query[] = [];
    for (;;) {
      const part = this.readBoth(depth);
      const joint = this.tokens[this.next];
      const goesOn = isWord(joint, 'or');
      if (part === null && (goesOn || parts.length > 0)) {
        refuse(
          problemAt(
            joint?.at ?? this.length,
            `there is nothing ${goesOn ? 'before' : 'after'} or`,
            'Write what is looked for on both sides, or put the word in quotes: "or".',
          ),
        );
      }
      if (part !== null) parts.push(part);
      if (!goesOn) return parts.length === 0 ? null : either(parts);
      this.next++;
    }
  }

  private readBoth(depth: number): Query | null {
    const parts: Query[] = [];
    for (;;) {
      const token = this.tokens[this.next];
      if (token === undefined || token.kind === 'close' || isWord(token, 'or')) break;
      if (token.kind === 'comma') this.next++;
      else if (!this.takeOrder(token)) parts.push(this.readWish(token, depth));
    }
    return parts.length === 0 ? null : both(parts);
  }

  private readWish(token: Token, depth: number): Query {
    if (depth > DEEPEST) {
      refuse(problemAt(token.at, 'parentheses lie too deep in each other', 'Use fewer of them.'));
    }
    if (isWord(token, 'not')) {
      this.next++;
      const after = this.tokens[this.next];
      if (
        after === undefined ||
        after.kind === 'close' ||
        after.kind === 'comma' ||
        isWord(after, 'or') ||
        this.takeOrder(after)
      ) {
        refuse(
          problemAt(
            token.end,
            'what must not be there is missing after not',
            'Write it, or put the word in quotes: "not".',
          ),
        );
      }
      return negated(this.readWish(after!, depth + 1));
    }
    if (token.kind === 'open') {
      this.next++;
      const inner = this.readEither(depth + 1);
      const close = this.tokens[this.next];
      if (close?.kind !== 'close') {
        refuse(problemAt(token.at, 'this parenthesis is not closed', 'Write ) where it ends.'));
      }
      this.next++;
      return (
        inner ?? refuse(problemAt(close!.at, 'there is nothing in the parentheses', 'Fill them.'))
      );
    }
    return this.readAtom(token);
  }

  private readAtom(token: Token): Query {
    if (token.kind === 'quoted') {
      this.next++;
      if (token.name !== undefined) return this.readNamed(token.name, token.text, token.at, token);
      return { kind: 'text', text: foldText(token.text) };
    }
    const pair = this.readPair(token);
    if (pair !== null) return pair;
    const row = this.readRow(token);
    if (row !== null) return row;
    this.next++;
    const colon = /^([a-z]+):/iu.exec(token.text);
    if (colon !== null) {
      const at = token.at + colon[0].length;
      return this.readNamed(colon[1]!, token.text.slice(colon[0].length), at, token);
    }
    return readWord(token);
  }

  /** `level 2`, `4 bars`, `quarter = 104`. */
  private readPair(token: Token): Query | null {
    const tempo = this.readTempo();
    if (tempo !== null) return tempo;
    const second = this.tokens[this.next + 1];
    if (second?.kind !== 'word') return null;
    const [term] = readTerms(`${token.text} ${second.text}`);
    if (term?.kind !== 'level' && term?.kind !== 'bars') return null;
    this.next += 2;
    const n = term.kind === 'level' ? term.level : term.bars;
    return { kind: 'number', of: term.kind, from: n, to: n };
  }

  /** A tempo as it is printed; which note is counted is not asked. */
  private readTempo(): Query | null {
    const words: string[] = [];
    for (const t of this.tokens.slice(this.next, this.next + 4)) {
      if (t.kind !== 'word') break;
      words.push(t.text);
    }
    const said = TEMPO.exec(words.join(' '));
    if (said === null) return null;
    const bpm = Number(said[2]);
    if (bpm < NUMBER_LIMITS.tempo[0]) return null;
    this.next += said[1]!.split(' ').length;
    return { kind: 'number', of: 'tempo', from: bpm, to: bpm };
  }

  private readRow(token: Token): Query | null {
    const parts: PlacedPart[] = [];
    for (let t: Token | undefined = token; t?.kind === 'word'; t = this.tokens[this.next]) {
      if (parts.length > 0 && this.isPair(t)) break;
      const read = readRowWord(t.text, t.at);
      if (read === null) break;
      for (const part of sure(read)) parts.push({ part, at: t.at });
      this.next++;
    }
    if (parts.length === 0) return null;
    const steps = sure(joinRow(parts));
    const over = this.readOver();
    const [only] = steps;
    if (steps.length === 1 && over === null && isPlain(only)) {
      return { kind: 'degree', degree: only.degree! };
    }
    return { kind: 'row', from: 'chord', steps, over };
  }

  private isPair(token: Token): boolean {
    const before = this.next;
    const pair = this.readPair(token) !== null;
    this.next = before;
    return pair;
  }

  /** `over IV` behind a row. */
  private readOver(): string | null {
    const over = this.tokens[this.next];
    if (over === undefined || !isWord(over, 'over')) return null;
    this.next++;
    const chord = this.tokens[this.next];
    if (chord?.kind !== 'word') {
      refuse(
        problemAt(
          over.end,
          'the chord is missing after over',
          'Write a chord or numeral, or put the word in quotes: "over".',
        ),
      );
    }
    this.next++;
    const read = readChord(chord!.text, chord!.at);
    if (read !== NO_CHORD) return read;
    refuse(
      problemAt(chord!.at, 'no note belongs to N.C.', 'Write a chord or numeral behind over.'),
    );
  }

  private readNamed(name: string, value: string, at: number, token: Token): Query {
    const lower = name.toLowerCase();
    const field: FieldName | undefined = FIELD_NAMES.find((f) => f === lower);
    if (field === undefined) {
      const near = FIELD_NAMES.find((f) => isNear(f, lower));
      if (near === undefined) return { kind: 'text', text: foldText(`${name}:${value}`) };
      refuse(
        problemAt(
          token.kind === 'quoted' ? token.at - name.length - 2 : token.at,
          `there is no '${name}:'`,
          `Write ${near}:, or put it in quotes where it is a word of a title.`,
        ),
      );
    }
    if (field === 'order') {
      refuse(
        problemAt(at, 'an order cannot be joined', 'Write order: once, outside of parentheses.'),
      );
    }
    // Nor is an accent or a space alone anything to be looked for.
    if (foldText(value) === '') {
      refuse(problemAt(at, `the value is missing after ${field}:`, 'Write one behind the colon.'));
    }
    return sure(readField(field, value, at));
  }

  private takeOrder(token: Token): boolean {
    const value =
      /^order:/iu.test(token.text) && token.kind === 'word' ? token.text.slice(6) : null;
    if (value === null) return false;
    const order = sure(readOrder(value, token.at + 6));
    if (this.order !== null) {
      refuse(problemAt(token.at, 'a second order is named', 'Write order: once.'));
    }
    this.order = order;
    this.next++;
    return true;
  }
}

function readWord(token: Token): Query {
  const arrow = /[>→]/u.exec(token.text);
  if (arrow !== null && /^[b#♭♯]*[IViv]|^[A-G]|^N\.C\./u.test(token.text)) {
    const chords: string[] = [];
    let at = token.at;
    for (const part of token.text.split(/[>→]/u)) {
      chords.push(readChord(part, at));
      at += part.length + 1;
    }
    return { kind: 'change', chords };
  }
  const [term, ...more] = readTerms(token.text);
  if (more.length === 0 && term?.kind === 'numeral') return term;
  const text: Atom = { kind: 'text', text: foldText(token.text) };
  const printed = readPrinted(token);
  return printed === null ? text : either([text, printed]);
}

/** A metre, N.C., or a chord with a sign that is printed but not kept: `4/4`, `Bø7`. A title may say them, too. */
function readPrinted({ text, at }: Token): Atom | null {
  const field = /^\d+\/\d+$/u.test(text)
    ? 'meter'
    : text === NO_CHORD || /^[A-G].*[°øΔ+]/u.test(text)
      ? 'chord'
      : null;
  if (field === null) return null;
  const read = readField(field, text, at);
  return 'message' in read ? null : read;
}

function readChord(text: string, at: number): string {
  const chord = readChordText(text, at);
  return typeof chord === 'string' ? chord : refuse(chord);
}

function isPlain(step: RowStep): boolean {
  return step.degree !== null && step.techniques.length === 0;
}

function isWord(token: Token | undefined, word: string): boolean {
  return token?.kind === 'word' && token.text.toLowerCase() === word;
}
