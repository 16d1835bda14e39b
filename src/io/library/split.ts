import { fail, ok, type Problem, type Result } from '../../core/result';
import type { ListName } from './entries';

/** Most characters around the lists: a few names and numbers. */
const MOST_AROUND = 64 * 1024;

/** The text of one entry. */
export interface EntryText {
  readonly list: ListName;
  readonly text: string;
}

/**
 * Divides the text of a library file, which comes in pieces, into the texts of its entries and what
 * stands around them. It follows strings and brackets only: whether a phrase is one is for its reader.
 */
export class LibrarySplitter {
  private around = '';
  /** Pieces of the entry that is being read; null between entries. */
  private entry: string[] | null = null;
  private length = 0;
  private depth = 0;
  private inString = false;
  private escaped = false;
  /** The list that is being read; null around the lists. */
  private inside: ListName | null = null;
  private readonly wasInside = new Set<ListName>();
  private afterComma = false;
  private found: Problem | null = null;

  /** @param most Characters of one entry. */
  constructor(private readonly most: number) {}

  /** Why reading on is of no use. */
  get problem(): Problem | null {
    return this.found;
  }

  /** @returns the texts of the entries that end in this piece. */
  take(text: string): readonly EntryText[] {
    const whole: EntryText[] = [];
    // From where the piece is not yet put away.
    let from = 0;
    for (let i = 0; i < text.length && this.found === null; i++) {
      const c = text.charCodeAt(i);
      if (this.inString) {
        if (this.escaped) this.escaped = false;
        else if (c === BACKSLASH) this.escaped = true;
        else if (c === QUOTE) this.inString = false;
        continue;
      }
      if (this.inside === null) {
        if (c === QUOTE) this.inString = true;
        else if (c === CLOSE || c === CLOSE_LIST) this.depth -= 1;
        else if (c === OPEN || c === OPEN_LIST) {
          this.depth += 1;
          const list =
            c === OPEN_LIST && this.depth === 2 ? this.listAfter(text.slice(from, i)) : null;
          if (list !== null) {
            this.putAround(text.slice(from, i + 1));
            this.inside = list;
            this.wasInside.add(list);
            this.afterComma = false;
            from = i + 1;
          }
        }
        continue;
      }
      const ends = this.depth === 2 && (c === COMMA || c === CLOSE_LIST);
      if (ends) {
        const list = this.inside;
        if (this.entry !== null) {
          this.put(text.slice(from, i));
          whole.push({ list, text: this.entry.join('').trimEnd() });
        } else if (c === COMMA || this.afterComma) whole.push({ list, text: '' });
        this.entry = null;
        this.length = 0;
        this.afterComma = c === COMMA;
        from = i + 1;
        if (c === CLOSE_LIST) {
          this.inside = null;
          this.depth = 1;
          from = i;
        }
        continue;
      }
      if (this.entry === null) {
        if (c === SPACE || c === LINE || c === RETURN || c === TAB) continue;
        this.entry = [];
        from = i;
      }
      if (c === QUOTE) this.inString = true;
      else if (c === OPEN || c === OPEN_LIST) this.depth += 1;
      else if (c === CLOSE || c === CLOSE_LIST) this.depth -= 1;
    }
    const rest = text.slice(from);
    if (this.inside === null) this.putAround(rest);
    else if (this.entry !== null) this.put(rest);
    return whole;
  }

  /** After the last piece: the file with empty lists. */
  end(): Result<string> {
    if (this.found !== null) return fail(this.found);
    if (this.inside !== null) return fail(CUT_OFF);
    return ok(this.around);
  }

  /** Which list begins after this text; null for none that is read entry by entry. */
  private listAfter(before: string): ListName | null {
    const name = /"(phrases|others)"\s*:\s*$/u.exec(`${this.around.slice(-64)}${before}`)?.[1];
    // The pattern knows no other names.
    const list = (name ?? null) as ListName | null;
    return list === null || this.wasInside.has(list) ? null : list;
  }

  private put(text: string): void {
    this.length += text.length;
    if (this.length > this.most) {
      this.found = {
        message: `an entry has more than ${this.most} characters, and no more are read`,
        fix: 'Check whether the file is what you meant to open.',
      };
    } else this.entry?.push(text);
  }

  private putAround(text: string): void {
    this.around += text;
    if (this.around.length > MOST_AROUND) {
      this.found = {
        message: 'there is more around the phrases than a library has',
        fix: 'Check whether the file is what you meant to open.',
      };
    }
  }
}

const CUT_OFF: Problem = {
  message: 'the file ends in the middle of its phrases',
  fix: 'It was cut off: copy or download it again.',
};

const [QUOTE, BACKSLASH, COMMA] = [0x22, 0x5c, 0x2c];
const [OPEN, CLOSE, OPEN_LIST, CLOSE_LIST] = [0x7b, 0x7d, 0x5b, 0x5d];
const [SPACE, LINE, RETURN, TAB] = [0x20, 0x0a, 0x0d, 0x09];
