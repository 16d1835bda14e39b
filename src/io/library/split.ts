import { fail, ok, type Problem, type Result } from '../../core/result';

/** Most characters around the phrases: a few names and numbers. */
const MOST_AROUND = 64 * 1024;

/**
 * Divides the text of a library file, which comes in pieces, into the texts of its phrases and what
 * stands around them. It follows strings and brackets only: whether a phrase is one is for its reader.
 */
export class PhraseSplitter {
  private around = '';
  /** Pieces of the phrase that is being read; null between phrases. */
  private phrase: string[] | null = null;
  private length = 0;
  private depth = 0;
  private inString = false;
  private escaped = false;
  /** In the list of phrases. */
  private inside = false;
  private wasInside = false;
  private afterComma = false;
  private found: Problem | null = null;

  /** @param most Characters of one phrase. */
  constructor(private readonly most: number) {}

  /** Why reading on is of no use. */
  get problem(): Problem | null {
    return this.found;
  }

  /** @returns the texts of the phrases that end in this piece. */
  take(text: string): readonly string[] {
    const whole: string[] = [];
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
      if (!this.inside) {
        if (c === QUOTE) this.inString = true;
        else if (c === CLOSE || c === CLOSE_LIST) this.depth -= 1;
        else if (c === OPEN || c === OPEN_LIST) {
          this.depth += 1;
          if (c === OPEN_LIST && this.depth === 2 && this.opensPhrases(text.slice(from, i))) {
            this.putAround(text.slice(from, i + 1));
            this.inside = true;
            this.wasInside = true;
            from = i + 1;
          }
        }
        continue;
      }
      const ends = this.depth === 2 && (c === COMMA || c === CLOSE_LIST);
      if (ends) {
        if (this.phrase !== null) {
          this.put(text.slice(from, i));
          whole.push(this.phrase.join('').trimEnd());
        } else if (c === COMMA || this.afterComma) whole.push('');
        this.phrase = null;
        this.length = 0;
        this.afterComma = c === COMMA;
        from = i + 1;
        if (c === CLOSE_LIST) {
          this.inside = false;
          this.depth = 1;
          from = i;
        }
        continue;
      }
      if (this.phrase === null) {
        if (c === SPACE || c === LINE || c === RETURN || c === TAB) continue;
        this.phrase = [];
        from = i;
      }
      if (c === QUOTE) this.inString = true;
      else if (c === OPEN || c === OPEN_LIST) this.depth += 1;
      else if (c === CLOSE || c === CLOSE_LIST) this.depth -= 1;
    }
    const rest = text.slice(from);
    if (!this.inside) this.putAround(rest);
    else if (this.phrase !== null) this.put(rest);
    return whole;
  }

  /** After the last piece: the file with an empty list in the place of the phrases. */
  end(): Result<string> {
    if (this.found !== null) return fail(this.found);
    if (this.inside) return fail(CUT_OFF);
    return ok(this.around);
  }

  private opensPhrases(before: string): boolean {
    return !this.wasInside && /"phrases"\s*:\s*$/u.test(`${this.around.slice(-64)}${before}`);
  }

  private put(text: string): void {
    this.length += text.length;
    if (this.length > this.most) {
      this.found = {
        message: `a phrase has more than ${this.most} characters, and no more are read`,
        fix: 'Check whether the file is what you meant to open.',
      };
    } else this.phrase?.push(text);
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
