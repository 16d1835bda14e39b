import type { Mark, Phrase } from '../../core/phrase/types';
import { Pen } from '../ink/pen';
import type { Settings } from '../options';
import { drawEnding, drawTempo } from '../signs/head';
import { drawDynamic } from '../signs/small';
import { drawDegrees } from '../text/degrees';
import { degreeSize } from './bar';
import type { LineLayout } from './line';
import type { Row, Side, Waiting } from './row';

interface MarkAt {
  readonly mark: Mark;
  readonly x: number;
}

function marksOf(line: LineLayout): readonly MarkAt[] {
  return line.bars.flatMap((b) =>
    b.stations.flatMap((s) => s.station.marks.map((mark) => ({ mark, x: s.x }))),
  );
}

export function stackDynamics(row: Row, line: LineLayout, side: Side): void {
  const signs = marksOf(line).flatMap(({ mark, x }): Waiting[] =>
    mark.kind === 'dynamic' ? [{ fragment: drawDynamic(mark.value), x: x + 5.9 }] : [],
  );
  row.stackAligned(side, signs, 4);
}

/** Words of the user, slanted; what would leave the page on the right begins further left. */
export function stackWords(row: Row, line: LineLayout): void {
  for (const { mark, x } of marksOf(line)) {
    if (mark.kind !== 'words') continue;
    const pen = new Pen();
    const m = pen.sign('words').text(mark.text, 0, 0, 'italic', 12);
    row.stack('above', pen.done(), Math.max(0, Math.min(x, row.width - m.x1 - 2)), 4);
  }
}

/** Chord symbols on one line. */
export function stackChords(row: Row, line: LineLayout): void {
  const signs = line.bars.flatMap((b) =>
    b.stations.flatMap((s): Waiting[] =>
      s.station.chord === null ? [] : [{ fragment: s.station.chord, x: s.x }],
    ),
  );
  row.stackAligned('above', signs, 6);
}

export function stackEndings(row: Row, line: LineLayout): void {
  const signs: Waiting[] = [];
  const { bars } = line;
  let i = 0;
  while (i < bars.length) {
    const passes = bars[i]!.bar.drawn.bar.span.bar.ending;
    let j = i;
    if (passes !== undefined) {
      const name = passes.join();
      while (bars[j + 1]?.bar.drawn.bar.span.bar.ending?.join() === name) j++;
      const x = bars[i]!.x0 + 1;
      const end = bars[j]!;
      const closed = end.bar.end !== 'single' && end.bar.end !== 'final';
      signs.push({ fragment: drawEnding(passes, end.x1 - x - 1, closed), x });
    }
    i = j + 1;
  }
  row.stackAligned('above', signs, 5);
}

/** What stands over the beginning: tempo in the first line, bar numbers in the others. */
export function stackHead(row: Row, line: LineLayout, p: Phrase, s: Settings): void {
  if (line.plan.isFirst) {
    if (s.tempo) row.stack('above', drawTempo(p.tempo, p.feel), 2, 6);
    return;
  }
  const number = line.bars[0]?.bar.drawn.bar.span.number ?? 0;
  if (!s.barNumbers || number < 2) return;
  const pen = new Pen();
  pen.sign('bar-number').text(String(number), 1, 0, 'text', 9);
  row.stack('above', pen.done(), 0, 4);
}

/** The degree line under a row, its base line the same through the whole line of music. */
export function stackDegrees(row: Row, line: LineLayout, s: Settings): void {
  if (s.degrees === null) return;
  const labels = s.degrees;
  const stations = line.bars.flatMap((b) => b.stations);
  const first = Math.max(0, ...stations.map((p) => p.station.degrees?.lines[0] ?? 0));
  const signs = stations.flatMap((p): Waiting[] =>
    p.station.degrees === null
      ? []
      : [
          {
            fragment: drawDegrees(p.station.items, labels, first, degreeSize(s)).fragment,
            x: p.x,
          },
        ],
  );
  row.stackAligned('below', signs, 7);
}
