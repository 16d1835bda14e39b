import { type BarSpan, barSpans, beatTicks, meterTicks } from '../phrase/time';
import { saidPlace } from '../phrase/time-words';
import type { Phrase, Ticks } from '../phrase/types';
import type { Problem } from '../result';

/** What a check found, before it is placed in the score. */
export interface Finding {
  /** JSON pointer into the phrase. */
  readonly pointer: string;
  readonly message: string;
  readonly fix: string;
  /** Where in the phrase it is heard; bar and beat are derived from it. */
  readonly onset?: Ticks;
  /** String it concerns, 1 = first. */
  readonly string?: number;
}

/** So many problems are listed at most; the rest is counted. A broken file may hold one a note. */
export const MAX_PROBLEMS = 100;

/**
 * Collects what is wrong with one phrase. Holds what several checks ask again and again, so that
 * checking stays linear in the length of the phrase.
 */
export class Findings {
  readonly spans: readonly BarSpan[];
  private readonly found: Problem[] = [];
  private unlisted = 0;

  constructor(readonly phrase: Phrase) {
    this.spans = barSpans(phrase);
  }

  add(f: Finding): void {
    if (this.found.length >= MAX_PROBLEMS) {
      this.unlisted++;
      return;
    }
    const place = f.onset === undefined ? null : this.place(f.onset);
    this.found.push({
      message: f.message,
      fix: f.fix,
      pointer: f.pointer,
      ...place,
      ...(f.string === undefined ? {} : { string: f.string }),
    });
  }

  get count(): number {
    return this.found.length + this.unlisted;
  }

  problems(): readonly Problem[] {
    if (this.unlisted === 0) return this.found;
    const more = `${this.unlisted} more ${this.unlisted === 1 ? 'problem is' : 'problems are'} not listed`;
    return [...this.found, { message: more, fix: 'Mend the ones above first.', pointer: '' }];
  }

  /** The bar an onset lies in; the first for onsets before it, the last for those past the end. */
  spanAt(onset: Ticks): BarSpan {
    let low = 0;
    let high = this.spans.length - 1;
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if (this.spans[middle]!.start <= onset) low = middle;
      else high = middle - 1;
    }
    return this.spans[low]!;
  }

  /** A moment as a musician says it, inside a sentence: `bar 2, beat 3 and`. */
  words(onset: Ticks): string {
    const at = this.place(onset);
    if (at === null) return 'no moment of it';
    return `${at.bar === 0 ? 'the pickup' : `bar ${at.bar}`}, beat ${at.said ?? at.beat}`;
  }

  /** `problemPlace`, by binary search. */
  private place(onset: Ticks): ReturnType<typeof saidPlace> | null {
    if (!Number.isFinite(onset)) return null;
    const span = this.spanAt(onset);
    const meter = span.bar.meter;
    const from = span.number === 0 ? span.end - meterTicks(meter) : span.start;
    const beat = (onset - from) / beatTicks(meter) + 1;
    return saidPlace({ bar: span.number, beat }, meter);
  }
}
