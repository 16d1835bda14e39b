import type { Problem } from '../../core/result';
import { cutQuotations } from '../quotation';

/** So many mistakes are told at once. */
const MOST = 20;

/** Goes through a text and knows where it is. */
export class Scanner {
  at = 0;
  readonly problems: Problem[] = [];

  constructor(readonly text: string) {}

  get done(): boolean {
    return this.at >= this.text.length;
  }

  /** @param sticky With the flag y. */
  take(sticky: RegExp): RegExpExecArray | null {
    sticky.lastIndex = this.at;
    const m = sticky.exec(this.text);
    if (m !== null) this.at = sticky.lastIndex;
    return m;
  }

  looksAt(sticky: RegExp): boolean {
    sticky.lastIndex = this.at;
    return sticky.test(this.text);
  }

  skipSpace(): void {
    this.take(/\s*/y);
  }

  /** A text in double quotes, with JSON's escapes; null where none stands here. */
  takeQuoted(): string | null {
    const start = this.at;
    const m = this.take(/"(?:[^"\\\n]|\\.)*"/y);
    if (m === null) return null;
    try {
      return String(JSON.parse(m[0]));
    } catch {
      this.report('the text in quotes has an escape that is none', 'Write \\" for a quote.', start);
      return '';
    }
  }

  /** Notes a mistake at the place where the scanner is, or was. */
  report(message: string, fix: string, at = this.at): void {
    if (this.problems.length >= MOST) return;
    const before = this.text.slice(0, at);
    const line = before.split('\n').length;
    const column = at - (before.lastIndexOf('\n') + 1) + 1;
    this.problems.push({ message: cutQuotations(message), fix, line, column });
  }
}
