import { type NoteValue, ticksOfValue } from '../../../core/phrase/note-value';
import { beatTicks, meterTicks } from '../../../core/phrase/time';
import { playedIn } from '../../../core/phrase/tuplet';
import type { TupletRatio } from '../../../core/phrase/tuplet-ratio';
import { readRatioText } from '../../../core/phrase/tuplet-ratios';
import type { Bar, Meter, Ticks, Tuplet } from '../../../core/phrase/types';
import { VALUE_LETTERS } from '../write/event-text';
import type { TabBlock } from './lines';

/**
 * What the rows over and under the strings say in a text that this program wrote: note values, bars
 * with their metres and repeats, and beats. Other people's tablature has none of them.
 */
export interface OwnRows {
  readonly pickup: Ticks;
  readonly bars: readonly Bar[];
  readonly length: Ticks;
  readonly tuplets: readonly Tuplet[];
  /** What is struck, in order of time. */
  readonly moments: readonly OwnMoment[];
  /** Where a column of a block lies in time; null where the rows do not say. */
  readonly onsetAt: (block: TabBlock, column: number) => Ticks | null;
  /** Words of a row over the strings of a block with their columns. */
  readonly over: (block: TabBlock, label: string) => readonly Word[];
}

export interface OwnMoment {
  readonly block: TabBlock;
  /** Column in which its frets begin. */
  readonly column: number;
  readonly onset: Ticks;
  readonly duration: Ticks;
}

export interface Word {
  readonly column: number;
  readonly text: string;
}

const VALUE_OF = new Map(
  Object.entries(VALUE_LETTERS).map(([value, letter]) => [letter, value as NoteValue]),
);
const VALUE = /^(?:(\d{1,2}(?::\d{1,2})?)\[)?(\+)?(r)?(w|h|q|e|s|t|64|128)(\.)?(\])?$/u;
/** Number, metre where it changes, ending, times where they are more than two. */
const HEAD = /(\()?(\d+)\)?(?: (\d+)\/(\d+))?(?: \[([\d,]+)\.)?(?: [x×](\d+))?/gu;

interface Token {
  readonly block: TabBlock;
  /** Of the value's letter. */
  readonly column: number;
  /** Ticks outside a tuplet; null for a rest that fills its bar. */
  readonly ticks: Ticks | null;
  readonly rest: boolean;
  readonly tied: boolean;
  readonly opens: TupletRatio | null;
  readonly closes: boolean;
}

interface Piece {
  readonly block: TabBlock;
  readonly from: number;
  readonly to: number;
}

interface OpenBar {
  readonly number: number;
  readonly meter: Meter;
  readonly more: Pick<Bar, 'ending' | 'repeatStart' | 'repeatEnd'>;
  readonly pieces: Piece[];
}

/** The rows of our own text; null where they are not all there or do not add up. */
export function readOwnRows(blocks: readonly TabBlock[], lines: readonly string[]): OwnRows | null {
  const row = (block: TabBlock, label: string) => rowOver(block, label);
  const bars: OpenBar[] = [];
  for (const block of blocks) {
    const heads = row(block, 'bar');
    const values = row(block, 'value');
    if (heads === null || values === null || !addBars(bars, block, heads)) return null;
  }
  const timed = timeOf(bars);
  if (timed === null) return null;
  const counted = new Map(blocks.map((b) => [b, countedOnsets(b, lines, timed)]));
  return {
    ...timed,
    onsetAt: (block, column) =>
      timed.at.get(block)?.get(column) ?? counted.get(block)?.get(column) ?? null,
    over: (block, label) => wordsOf(row(block, label) ?? ''),
  };
}

/** The row with a label, the label blanked out so that columns stay. */
function rowOver(block: TabBlock, label: string): string | null {
  const found = block.above.find((a) => new RegExp(`^\\s*${label} `, 'u').test(a.text));
  return found === undefined ? null : unlabelled(found.text, label);
}

function unlabelled(text: string, label: string): string {
  return text.replace(label, ' '.repeat(label.length));
}

function wordsOf(text: string): readonly Word[] {
  return [...text.matchAll(/\S+/gu)].map((m) => ({ column: m.index, text: m[0] }));
}

function countsUnder(block: TabBlock, lines: readonly string[]): readonly Word[] {
  const last = Math.max(...block.lines.map((l) => l.line));
  for (let i = last; i < lines.length && lines[i] !== ''; i++) {
    if (/^\s*count /u.test(lines[i]!)) return wordsOf(unlabelled(lines[i]!, 'count'));
  }
  return [];
}

/** Adds the bars that a row of heads names; false where they do not follow each other. */
function addBars(bars: OpenBar[], block: TabBlock, heads: string): boolean {
  const top = block.lines[0]!;
  const text = ' '.repeat(top.start) + top.body;
  const found = [...heads.matchAll(HEAD)];
  for (const [i, m] of found.entries()) {
    const from = m.index;
    const to = found[i + 1]?.index ?? text.length;
    const number = Number(m[2]);
    const before = bars.at(-1);
    const ends = text.slice(Math.max(0, to - 2), to + 1).includes(':|');
    const times = m[6] === undefined ? 2 : Number(m[6]);
    if (m[1] !== undefined) {
      // The rest of a bar that was too long for its line.
      if (before?.number !== number) return false;
      before.pieces.push({ block, from, to });
      if (ends) bars[bars.length - 1] = { ...before, more: { ...before.more, repeatEnd: times } };
      continue;
    }
    const meter = m[3] === undefined ? before?.meter : meterOf(m[3], m[4]!);
    const follows = before === undefined ? number <= 1 : number === before.number + 1;
    if (meter === undefined || meter === null || !follows) return false;
    const ending = m[5]?.split(',').map(Number);
    bars.push({
      number,
      meter,
      more: {
        ...(text.slice(Math.max(0, from - 1), from + 1) === '|:' ? { repeatStart: true } : {}),
        ...(ends ? { repeatEnd: times } : {}),
        ...(ending === undefined ? {} : { ending }),
      },
      pieces: [{ block, from, to }],
    });
  }
  return found.length > 0;
}

function meterOf(beats: string, beatType: string): Meter | null {
  const type = [1, 2, 4, 8, 16].find((t) => t === Number(beatType));
  return type === undefined ? null : { beats: Number(beats), beatType: type as Meter['beatType'] };
}

/** The words of the rows of values, given out from left to right. */
class ValueWords {
  readonly #rows = new Map<TabBlock, { readonly words: readonly Word[]; next: number }>();

  within({ block, from, to }: Piece): readonly Word[] {
    const row = this.#rows.get(block) ?? { words: wordsOf(rowOver(block, 'value') ?? ''), next: 0 };
    this.#rows.set(block, row);
    while (row.next < row.words.length && row.words[row.next]!.column < from) row.next++;
    const first = row.next;
    while (row.next < row.words.length && row.words[row.next]!.column < to) row.next++;
    return row.words.slice(first, row.next);
  }
}

function tokensOf(bar: OpenBar, values: ValueWords): readonly Token[] | null {
  const tokens: Token[] = [];
  for (const piece of bar.pieces) {
    const { block } = piece;
    for (const w of values.within(piece)) {
      const m = VALUE.exec(w.text);
      if (m === null && w.text !== 'rest') return null;
      const opens = m?.[1] === undefined ? null : readRatioText(m[1]);
      if (m?.[1] !== undefined && opens === null) return null;
      // The sign of the ratio and its bracket, and that of the tie.
      const before = m?.[1] === undefined ? 0 : m[1].length + 1;
      const tie = m?.[2] === undefined ? 0 : 1;
      tokens.push({
        block,
        column: w.column + before + tie,
        ticks:
          m === null ? null : ticksOfValue({ value: VALUE_OF.get(m[4]!)!, dots: m[5] ? 1 : 0 }),
        rest: m === null || m[3] !== undefined,
        tied: m?.[2] !== undefined,
        opens,
        closes: m?.[6] !== undefined,
      });
    }
  }
  return tokens;
}

interface Timed {
  readonly pickup: Ticks;
  readonly bars: readonly Bar[];
  readonly length: Ticks;
  readonly tuplets: readonly Tuplet[];
  readonly moments: readonly OwnMoment[];
  readonly at: ReadonlyMap<TabBlock, ReadonlyMap<number, Ticks>>;
  readonly pieces: ReadonlyMap<
    TabBlock,
    readonly { readonly bar: OpenBar; readonly piece: Piece; readonly start: Ticks }[]
  >;
}

/** Adds the values up; null where a bar does not come out. */
function timeOf(bars: readonly OpenBar[]): Timed | null {
  const starts: Ticks[] = [];
  const tuplets: Tuplet[] = [];
  const moments: OwnMoment[] = [];
  const values = new ValueWords();
  const pieces = new Map<TabBlock, { bar: OpenBar; piece: Piece; start: Ticks }[]>();
  const at = new Map<TabBlock, Map<number, Ticks>>();
  let now = 0;
  let open: { ratio: TupletRatio; onset: Ticks } | null = null;
  for (const bar of bars) {
    const start = now;
    starts.push(start);
    for (const piece of bar.pieces) {
      const list = pieces.get(piece.block) ?? [];
      pieces.set(piece.block, list);
      list.push({ bar, piece, start });
    }
    const tokens = tokensOf(bar, values);
    if (tokens === null) return null;
    for (const t of tokens) {
      if (t.opens !== null) open = { ratio: t.opens, onset: now };
      const ticks =
        t.ticks === null ? meterTicks(bar.meter) : playedIn(open?.ratio ?? null, t.ticks);
      if (ticks === null) return null;
      const columns = at.get(t.block) ?? new Map<number, Ticks>();
      at.set(t.block, columns.set(t.column, now));
      const last = moments.at(-1);
      if (t.tied) {
        if (last === undefined || last.onset + last.duration !== now) return null;
        moments[moments.length - 1] = { ...last, duration: last.duration + ticks };
      } else if (!t.rest) {
        moments.push({ block: t.block, column: t.column, onset: now, duration: ticks });
      }
      now += ticks;
      if (t.closes && open !== null) {
        tuplets.push({ onset: open.onset, duration: now - open.onset, ...open.ratio });
        open = null;
      }
    }
    const full = meterTicks(bar.meter);
    const mayBeShort = bar.number === 0 || bar === bars.at(-1);
    if (now - start > full || now === start || (now - start < full && !mayBeShort)) return null;
  }
  const hasPickup = bars[0]?.number === 0;
  const full = hasPickup ? bars.slice(1) : bars;
  if (full.length === 0 || open !== null) return null;
  return {
    pickup: hasPickup ? (starts[1] ?? now) : 0,
    bars: full.map((b): Bar => ({ meter: b.meter, ...b.more })),
    length: now,
    tuplets,
    moments,
    at,
    pieces,
  };
}

/** Where the counts under a block stand in time, by column; a dot says nothing. */
function countedOnsets(
  block: TabBlock,
  lines: readonly string[],
  timed: Timed,
): ReadonlyMap<number, Ticks> {
  const found = new Map<number, Ticks>();
  const words = countsUnder(block, lines);
  let next = 0;
  for (const { bar, piece, start } of timed.pieces.get(block) ?? []) {
    const beatLength = beatTicks(bar.meter);
    // The beats of a pickup are counted from its end (T2).
    const zero = bar.number === 0 ? timed.pickup - meterTicks(bar.meter) : start;
    let beat: number | null = null;
    while (next < words.length && words[next]!.column < piece.from) next++;
    for (; next < words.length && words[next]!.column < piece.to; next++) {
      const { column, text } = words[next]!;
      if (/^\d+$/u.test(text)) beat = Number(text) - 1;
      const part = /^\d+$/u.test(text) ? 0 : PARTS[text];
      if (beat !== null && part !== undefined) found.set(column, zero + (beat + part) * beatLength);
    }
  }
  return found;
}

/** What is counted inside a beat (common practice). */
const PARTS: Readonly<Record<string, number>> = { '&': 0.5, e: 0.25, a: 0.75 };
