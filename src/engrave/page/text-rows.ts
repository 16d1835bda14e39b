import { isCompound } from '../../core/phrase/time';
import type { Feel, Mark, NoteId, Phrase, Ticks } from '../../core/phrase/types';
import { type Face, measureText } from '../font/measure';
import { type Box, moveBox, unionOf } from '../ink/box';
import { EMPTY, type Fragment, Pen } from '../ink/pen';
import type { Settings } from '../options';
import { drawEnding, drawTempo } from '../signs/head';
import { drawDynamic } from '../signs/small';
import { drawDegrees } from '../text/degrees';
import { instrumentWords } from '../text/instrument';
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

/** Puts the dynamics of a line in one row on a side of the staff. */
export function stackDynamics(row: Row, line: LineLayout, side: Side): void {
  const signs = marksOf(line).flatMap(({ mark, x }): Waiting[] =>
    mark.kind === 'dynamic' ? [{ fragment: drawDynamic(mark.value), x: x + 5.9 }] : [],
  );
  row.stackAligned(side, signs, 4);
}

const WORDS_SIZE = 12;
const WORDS_LEADING = 14;
/** Longer words are broken; a page may be narrower still. */
const WORDS_WIDTH = 420;

/** Words of the user, slanted; what would leave the page on the right begins further left. */
export function stackWords(row: Row, line: LineLayout): void {
  for (const { mark, x } of marksOf(line)) {
    if (mark.kind !== 'words') continue;
    const pen = new Pen().sign('words');
    const width = Math.min(WORDS_WIDTH, row.width - 8);
    breakWords(mark.text, 'italic', WORDS_SIZE, width).forEach((text, i) => {
      pen.text(text, 0, i * WORDS_LEADING, 'italic', WORDS_SIZE);
    });
    row.stack('above', pen.done(), x, 4);
  }
}

/** Lines that fit a width: broken between words, and inside one only where it is too long itself. */
function breakWords(text: string, face: Face, size: number, width: number): readonly string[] {
  const fits = (t: string) => measureText(t, face, size).x1 <= width;
  if (fits(text)) return [text];
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(' ')) {
    const longer = line === '' ? word : `${line} ${word}`;
    if (fits(longer)) {
      line = longer;
      continue;
    }
    if (line !== '') lines.push(line);
    line = '';
    for (const letter of word) {
      if (!fits(line + letter)) {
        lines.push(line);
        line = '';
      }
      line += letter;
    }
  }
  return [...lines, line];
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

/** Puts the brackets of endings over a line; bars of the same passes share one. */
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

/** What stands over the beginning: tempo and instrument in the first line, bar numbers in the others. */
export function stackHead(row: Row, line: LineLayout, p: Phrase, s: Settings): void {
  if (line.plan.isFirst) {
    row.stack('above', drawFirstHead(p, s, row.width), HEAD_X, 6);
    return;
  }
  const number = line.bars[0]?.bar.drawn.bar.span.number ?? 0;
  if (!s.barNumbers || number < 2) return;
  const pen = new Pen();
  pen.sign('bar-number').text(String(number), 1, 0, 'text', 9);
  row.stack('above', pen.done(), 0, 4);
}

const STRAIGHT: Feel = { kind: 'straight' };
const HEAD_X = 2;
const HEAD_GAP = 14;
const INSTRUMENT_SIZE = 12;
const INSTRUMENT_LEADING = 14;

/** Tempo and feel, and beside them, or beneath where that is too wide, how the instrument is set up. */
function drawFirstHead(p: Phrase, s: Settings, width: number): Fragment {
  const words = instrumentWords(p.instrument);
  // Compound metres are played as written (T3): over them alone a swing would say what is not so.
  const swings = p.bars.some((b) => !isCompound(b.meter));
  const tempo = s.tempo ? drawTempo(p.tempo, swings ? p.feel : STRAIGHT) : EMPTY;
  if (words.length === 0) return tempo;
  const pen = new Pen().place(tempo, 0, 0);
  const room = width - 2 * HEAD_X;
  const start = unionOf(pen.ink)?.x1 ?? -HEAD_GAP;
  const wide = words.map((w) => HEAD_GAP + measureText(w, 'text', INSTRUMENT_SIZE).x1);
  const fits = start + wide.reduce((a, b) => a + b, 0) <= room;
  let x = fits ? start + HEAD_GAP : 0;
  let y = fits || !s.tempo ? 0 : INSTRUMENT_LEADING;
  for (const word of words) {
    pen.sign('instrument');
    for (const text of fits ? [word] : breakWords(word, 'text', INSTRUMENT_SIZE, room)) {
      const { advance } = pen.text(text, x, y, 'text', INSTRUMENT_SIZE);
      if (fits) x += advance + HEAD_GAP;
      else y += INSTRUMENT_LEADING;
    }
  }
  return pen.done();
}

/** Where a degree went, in the row's own units. */
export interface DegreePlace {
  readonly id: NoteId;
  readonly onset: Ticks;
  readonly box: Box;
}

/** The degree line under a row, its base line the same through the whole line of music. */
export function stackDegrees(row: Row, line: LineLayout, s: Settings): readonly DegreePlace[] {
  if (s.degrees === null) return [];
  const labels = s.degrees;
  const stations = line.bars.flatMap((b) => b.stations);
  const first = Math.max(0, ...stations.map((p) => p.station.degrees?.lines[0] ?? 0));
  const columns = stations.flatMap(({ station, x }) => {
    if (station.degrees === null) return [];
    const drawn = drawDegrees(station.items, labels, first, s.changed, degreeSize(s));
    return [{ fragment: drawn.fragment, x, onset: station.onset, places: drawn.places }];
  });
  const placed = row.stackAligned('below', columns, 7);
  const byFragment = new Map(columns.map((c) => [c.fragment, c]));
  return placed.flatMap(({ fragment, x, y }) => {
    const column = byFragment.get(fragment)!;
    return column.places.map(({ id, box }) => ({
      id,
      onset: column.onset,
      box: moveBox(box, x, y),
    }));
  });
}
