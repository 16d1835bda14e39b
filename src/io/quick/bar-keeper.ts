import { meterTicks } from '../../core/phrase/time';
import type { Bar, Meter, PhraseEvent, Ticks } from '../../core/phrase/types';
import { LIMITS } from '../json/limits';
import type { Scanner } from './scanner';

/** Most beats of a bar. */
const MOST_BEATS = 64;

/** The bars of a quick text while it is read: lines between them, metres, repeats and endings. */
export class BarKeeper {
  readonly bars: Bar[] = [];
  pickup: Ticks;
  length: Ticks = 0;
  /** Nothing has come since the last bar line. */
  atLine = true;
  private meter: Meter;
  /** Where a repeat ends the phrase inside its last bar. */
  private endsAt: Ticks | null = null;
  private barStart: Ticks = 0;
  private barCount = 0;
  private next: Partial<Bar> = {};
  /** Where `next` was said. */
  private nextAt: number | null = null;
  private lines = false;
  private second = false;

  /** @param pickup Length of bar 0 where the head says it. */
  constructor(
    private readonly scan: Scanner,
    meter: Meter,
    private readonly said: Ticks | null,
    private readonly places: Map<object, number>,
  ) {
    this.pickup = said ?? 0;
    this.meter = beatsOf(scan, meter, 0);
  }

  /** The bars are there; the second voice is held to them. */
  beginSecond(): void {
    this.second = true;
    this.barStart = 0;
    this.barCount = 0;
    this.next = {};
    this.lines = false;
    this.atLine = true;
  }

  /** @param at Where it stands in the text. */
  changeMeter(meter: Meter, at: number): void {
    this.meter = beatsOf(this.scan, meter, at);
    if (this.atLine) return;
    this.scan.report(
      'a metre is written at the beginning of a bar',
      'Put it after a bar line.',
      at,
    );
  }

  /** Where a chord or a mark stands that is said at `t`: right behind a bar line at the line, under a note held over it. */
  standing(t: Ticks): Ticks {
    return this.atLine ? Math.min(this.barStart, t) : t;
  }

  /** Reads a bar line, with a repeat or an ending, at the end of what was read so far. */
  readLine(t: Ticks, events: readonly PhraseEvent[]): void {
    const { scan } = this;
    const start = scan.at;
    this.lines = true;
    const close = scan.take(/:\|(\d{1,2})?(?=\s|\||$)/y);
    if (close !== null) {
      this.next = { ...this.next, repeatEnd: close[1] === undefined ? 2 : Number(close[1]) };
      this.closeBar(start, t, events);
      return;
    }
    if (scan.take(/\|:/y)) {
      if (!this.atLine) this.closeBar(start, t, events);
      this.atLine = true;
      this.next = { ...this.next, repeatStart: true };
      this.nextAt = start;
      return;
    }
    const ending = scan.take(/\|(\d(?:,\d)*)\./y);
    const same = ending === null && scan.take(/\|=/y) !== null;
    if (ending !== null || same) {
      if (!this.atLine) this.closeBar(start, t, events);
      this.atLine = true;
      this.nextAt = start;
      const before = this.bars.at(-1)?.ending;
      this.next = {
        ...this.next,
        ...(ending === null
          ? before === undefined
            ? {}
            : { ending: before }
          : { ending: ending[1]!.split(',').map(Number) }),
      };
      return;
    }
    if (scan.take(/\|/y)) this.closeBar(start, t, events);
  }

  /** Ends a bar: it must be full, except a first one, which is then the pickup. */
  private closeBar(at: number, t: Ticks, events: readonly PhraseEvent[]): void {
    this.atLine = true;
    const { second } = this;
    const meter = second
      ? (this.bars[this.barCount - (this.pickup > 0 ? 1 : 0)]?.meter ?? this.meter)
      : this.meter;
    const isPickup = this.barCount === 0 && this.pickup > 0;
    const full = isPickup ? this.pickup : meterTicks(meter);
    const end = this.barStart + full;
    const isEnd = this.next.repeatEnd !== undefined && this.scan.looksAt(/\s*(?:2nd:|$)/y);
    if (t < end && isEnd && !second && t > this.barStart) {
      this.add(meter, at);
      this.next = {};
      this.endsAt = t;
      return;
    }
    if (t < end) {
      const first = !second && this.barCount === 0 && this.bars.length === 0 && t > 0;
      if (first && !isPickup) {
        this.pickup = t;
        this.barStart = t;
        this.barCount = 1;
        return;
      }
      this.scan.report(
        `the bar is ${beatsText(end - t)} short`,
        `A bar of ${meter.beats}/${meter.beatType} must be filled, with rests (r) where nothing sounds.`,
        at,
      );
    } else if (
      (events.at(-1)?.onset ?? 0) > end ||
      (t > end && (events.at(-1)?.onset ?? 0) >= end)
    ) {
      this.scan.report(
        `the bar is ${beatsText(t - end)} too long`,
        `A bar of ${meter.beats}/${meter.beatType} ends before here.`,
        at,
      );
    }
    if (!second && !isPickup) this.add(meter, at);
    if (!isPickup) this.next = {};
    this.barCount++;
    this.barStart = end;
  }

  /** The bars that no line closed; the last may be open. */
  end(t: Ticks, events: readonly PhraseEvent[]): void {
    if (this.endsAt !== null) {
      this.length = this.endsAt;
      return;
    }
    const last = events.at(-1)?.onset ?? 0;
    const full = meterTicks(this.meter);
    if (this.lines && this.bars.length > 0 && last >= this.barStart + full) {
      this.scan.report(
        `the last bar is ${beatsText(t - this.barStart - full)} too long`,
        'Write a bar line where it ends.',
        this.places.get(events.find((e) => e.onset >= this.barStart + full)!) ??
          this.scan.text.length,
      );
    }
    if (this.said !== null && this.barCount === 0) this.barStart = this.pickup;
    while (t > this.barStart || this.bars.length === 0) {
      if (this.bars.length >= LIMITS.bars) {
        this.scan.report(
          `the text has more than ${LIMITS.bars} bars`,
          'Write it as several phrases.',
          this.scan.text.length,
        );
        break;
      }
      this.add(this.meter, this.scan.text.length);
      this.next = {};
      this.barStart += full;
    }
    // An open last bar ends with its last word; an empty text is one bar long.
    this.length = t > this.barStart - full && t < this.barStart ? t : this.barStart;
  }

  private add(meter: Meter, at: number): void {
    const bar: Bar = { meter, ...this.next };
    this.places.set(bar, this.nextAt ?? at);
    this.nextAt = null;
    this.bars.push(bar);
  }
}

/** The metre; one beat where it has none or more than a page can show, which is told. */
function beatsOf(scan: Scanner, meter: Meter, at: number): Meter {
  if (meter.beats >= 1 && meter.beats <= MOST_BEATS) return meter;
  scan.report(
    `a bar has 1 to ${MOST_BEATS} beats, not ${meter.beats}`,
    'Write a metre such as 4/4 or 12/8.',
    at,
  );
  return { ...meter, beats: 1 };
}

function beatsText(ticks: Ticks): string {
  const quarters = Math.round((ticks / 10_080) * 1_000) / 1_000;
  return `${quarters} ${quarters === 1 ? 'quarter' : 'quarters'}`;
}
