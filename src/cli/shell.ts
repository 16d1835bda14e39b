import type { Problem } from '../core/result';
import type { ReadChoice } from '../io/file/decode-file';
import type { CliIo, ExitCode } from './io';
import { printable, problemLines } from './words';

/** Width of a page where no terminal says otherwise. */
export const PAGE_WIDTH = 80;

/** What a command prints to, what it has found wrong so far, and how far it is. */
export class Shell {
  /** What of a score is read. */
  reads: ReadChoice = {};
  private badInput = false;
  private badUsage = false;
  private progressWidth = 0;

  constructor(readonly io: CliIo) {}

  /** Prints a result. */
  print(text: string): void {
    this.clearProgress();
    this.io.out.write(printable(text));
  }

  /** Prints something beside the result. */
  remark(text: string): void {
    this.clearProgress();
    this.io.err.write(printable(text));
  }

  /**
   * Something that was read, or that the system refused.
   * @param text What was read, where it is short enough for a person to be shown the place in it.
   */
  refuse(path: string, problems: readonly Problem[], text: string | null = null): void {
    this.badInput = true;
    this.remark(problemLines(path, problems, text));
  }

  /** Something in the command line does not go with what was found. */
  misuse(problem: Problem): void {
    this.badUsage = true;
    this.remark(
      `degreewise: ${problem.message}.${problem.fix === undefined ? '' : ` ${problem.fix}`}\n`,
    );
  }

  get exitCode(): ExitCode {
    return this.badInput ? 1 : this.badUsage ? 2 : 0;
  }

  /** Shows a person at a terminal which of many files is at work. */
  progress(index: number, total: number, name: string): void {
    if (!this.io.err.isTerminal || total < 2) return;
    this.clearProgress();
    const room = (this.io.err.columns ?? PAGE_WIDTH) - 1;
    const line = printable(`[${index + 1}/${total}] ${name}`).slice(0, room);
    this.progressWidth = line.length;
    this.io.err.write(line);
  }

  clearProgress(): void {
    if (this.progressWidth === 0) return;
    this.io.err.write(`\r${' '.repeat(this.progressWidth)}\r`);
    this.progressWidth = 0;
  }

  /** Characters in a line of what is printed. */
  get width(): number {
    const named = Number(this.io.env.COLUMNS);
    return this.io.out.columns ?? (Number.isInteger(named) && named > 0 ? named : PAGE_WIDTH);
  }

  /** Whether the locale names a character set without musical signs. */
  get ascii(): boolean {
    const { LC_ALL, LC_CTYPE, LANG } = this.io.env;
    const locale = [LC_ALL, LC_CTYPE, LANG].find((l) => l !== undefined && l !== '');
    return locale !== undefined && !/utf-?8/iu.test(locale);
  }
}
