import type { Meter, Phrase } from '../core/phrase/types';
import { SPACE } from './ink/pen';
import { type EngraveOptions, type Settings, settingsOf, showsStaff } from './options';
import { barSources, type DrawnBar, drawBar } from './page/bar';
import { type BarInLine, barWidth, type LinePlan, layOutLine, leadIn } from './page/line';
import { withRoomToWrite } from './page/room-to-write';
import { drawSystem, type InkedSystem } from './page/system';
import { clefOf } from './score/clef';
import { type ScoreBar, scoreOf } from './score/score';
import { chooseBreaks } from './space/breaks';
import type { BarlineKind } from './staff/frame';

/** A last line is not stretched further than this. */
export const MOST_STRETCH = 2.3;

/** Engraves a whole phrase and keeps every piece of ink, for tests. */
export function inkPhrase(p: Phrase, o: EngraveOptions): readonly InkedSystem[] {
  const s = settingsOf(o);
  const sources = barSources(p, scoreOf(p));
  const drawn = sources.map((b) => drawBar(b, s));
  return planLines(p, s, drawn).map(({ plan, room, limit }) =>
    drawSystem(p, layOutLine(plan, room, limit), s, room),
  );
}

/** A line of music with the room it may fill. */
export interface PlannedLine {
  readonly plan: LinePlan;
  readonly room: number;
  /** Greatest stretch. */
  readonly limit: number;
}

/** Divides the bars of a phrase into lines. */
export function planLines(p: Phrase, s: Settings, drawn: readonly DrawnBar[]): PlannedLine[] {
  const room = (s.width * SPACE) / s.size;
  const clef = clefOf(p.instrument);
  const hasStaff = showsStaff(s);
  const wide = s.writtenIn ? withRoomToWrite(drawn) : drawn;
  const bars = wide.map((d, i) => barInLine(wide, d, i));
  const base = { clef, key: p.key, hasStaff };
  const meter = bars[0]!.drawn.bar.span.bar.meter;
  const starts = chooseBreaks(
    bars.map(barWidth),
    room - leadIn({ ...base, meter }),
    room - leadIn({ ...base, meter: null }),
  );
  return starts.map((start, i) => {
    const end = starts[i + 1] ?? bars.length;
    const isLast = i === starts.length - 1;
    const plan: LinePlan = {
      ...base,
      bars: bars.slice(start, end).map((b, k) => (k === end - start - 1 ? atLineEnd(b) : b)),
      meter: i === 0 ? meter : bars[start]!.meter,
      isFirst: i === 0,
      isLast,
    };
    return { plan, room, limit: isLast ? MOST_STRETCH : Number.POSITIVE_INFINITY };
  });
}

/** A bar with what its neighbours make of its ends. */
export function barInLine(all: readonly DrawnBar[], drawn: DrawnBar, i: number): BarInLine {
  const { bar } = drawn.bar.span;
  const before = all[i - 1]?.bar;
  const next = all[i + 1]?.bar;
  return {
    drawn,
    meter: before !== undefined && !sameMeter(before.span.bar.meter, bar.meter) ? bar.meter : null,
    startsRepeat: bar.repeatStart === true,
    end: endOf(drawn.bar, next),
  };
}

function endOf(bar: ScoreBar, next: ScoreBar | undefined): BarlineKind {
  const ends = bar.span.bar.repeatEnd !== undefined;
  const starts = next?.span.bar.repeatStart === true;
  if (ends && starts) return 'repeat-both';
  if (ends) return 'repeat-end';
  if (starts) return 'repeat-start';
  return next === undefined ? 'final' : 'single';
}

/** The start of a repeat goes to the beginning of the next line. */
export function atLineEnd(b: BarInLine): BarInLine {
  if (b.end === 'repeat-start') return { ...b, end: 'single' };
  return b.end === 'repeat-both' ? { ...b, end: 'repeat-end' } : b;
}

function sameMeter(a: Meter, b: Meter): boolean {
  return a.beats === b.beats && a.beatType === b.beatType;
}
