import { curveOfShape } from '../../../core/phrase/bend-curve';
import {
  HARMONIC_NODES,
  openMidi,
  playableFrets,
  STANDARD_GUITAR,
} from '../../../core/phrase/instrument';
import { meterTicks } from '../../../core/phrase/time';
import {
  type ChordChange,
  type Instrument,
  type Note,
  PHRASE_VERSION,
  type Phrase,
  type PhraseEvent,
  type SlideIn,
  type Ticks,
  type Tuplet,
} from '../../../core/phrase/types';
import { fail, ok, type Problem, type Result } from '../../../core/result';
import { formatChord } from '../../../core/theory/chord';
import { midiOf, type Pitch, parsePitchClass } from '../../../core/theory/pitch';
import { parseChordOrRoman } from '../../../core/theory/roman';
import { spellAt } from '../../../core/understand/spell';
import { mendAfter } from '../../../core/validity/mend';
import type { QuickOrigin } from '../../quick/read';
import { PLAIN_DEFAULTS, type QuickDefaults } from '../../quick/read-head';
import { cellsOf, type TabCell } from './cells';
import { blocksOf, plainLines, type TabBlock, type TabLine } from './lines';
import { spaceBar } from './spacing';

/** A text tablature as a phrase, and what became of its signs. */
export interface ReadTab {
  readonly phrase: Phrase;
  /** What could not be understood or kept, in words: `'c' on 2 places`. */
  readonly ignored: readonly string[];
}

/** Texts longer than this are no phrase that somebody posted. */
const LONGEST = 400_000;

/**
 * Reads plain tablature as people have written it in letters and posts for decades: a line of dashes
 * a string, the first string on top, frets on them, `|` for bar lines. Pitches follow from tuning and
 * fret; lengths are guessed from the spacing, and every event says so (`guessed`).
 * @returns a valid phrase; or line and column of what cannot be read.
 */
export function readTextTab(
  text: string,
  origin: QuickOrigin,
  defaults: QuickDefaults = PLAIN_DEFAULTS,
): Result<ReadTab> {
  if (text.length > LONGEST) {
    return fail({
      message: `the text has more than ${LONGEST} characters`,
      fix: 'Paste a part of it.',
    });
  }
  const lines = plainLines(text);
  const blocks = blocksOf(lines);
  const first = blocks[0];
  if (first === undefined) {
    return fail({
      message: 'there are no lines of tablature',
      fix: 'Paste at least four lines of dashes with frets on them, one a string.',
      line: 1,
      column: 1,
    });
  }
  const odd = blocks.find((b) => b.lines.length !== first.lines.length);
  if (odd !== undefined) {
    return fail({
      message: `these are ${odd.lines.length} lines, and the first block has ${first.lines.length}`,
      fix: 'Every block needs one line a string; part blocks by an empty line.',
      line: odd.lines[0]!.line,
      column: 1,
    });
  }
  const instrument = instrumentOf(first, lines, defaults.instrument);
  if (!instrument.ok) return instrument;
  return new TabReader(blocks, instrument.value, origin, defaults).read();
}

/** Whether a text has lines of tablature at all. */
export function looksLikeTab(text: string): boolean {
  return text.length <= LONGEST && blocksOf(plainLines(text)).length > 0;
}

const USUAL: Readonly<
  Record<
    number,
    Pick<Instrument, 'name' | 'clef' | 'frets' | 'scaleLength'> & { readonly open: string }
  >
> = {
  4: { name: 'Bass guitar', clef: 'bass-8', frets: 20, scaleLength: 864, open: 'G2 D2 A1 E1' },
  5: { name: 'Bass guitar', clef: 'bass-8', frets: 20, scaleLength: 864, open: 'G2 D2 A1 E1 B0' },
  7: {
    name: 'Guitar',
    clef: 'treble-8',
    frets: 24,
    scaleLength: 648,
    open: 'E4 B3 G3 D3 A2 E2 B1',
  },
};

/** The instrument by the number of lines, tuned by the names before them, with a capo that is told. */
function instrumentOf(
  block: TabBlock,
  lines: readonly string[],
  usual: Instrument,
): Result<Instrument> {
  const count = block.lines.length;
  const known = USUAL[count];
  const base: Instrument | null =
    usual.tuning.length === count
      ? usual
      : count === 6
        ? STANDARD_GUITAR
        : known === undefined
          ? null
          : { ...known, capo: 0, tuning: known.open.split(' ').map((t) => pitchNamed(t)) };
  if (base === null) {
    return fail({
      message: `there are ${count} lines, and no instrument here has so many strings`,
      fix: 'Paste four to seven lines, one a string.',
      line: block.lines[0]!.line,
      column: 1,
    });
  }
  const tuning = base.tuning.map((open, i) => tuned(open, block.lines[i]!.name));
  const capo = lines.map((l) => /\bcapo\D{0,16}(\d{1,2})/iu.exec(l)).find((m) => m !== null);
  const fret = capo === undefined || capo === null ? base.capo : Number(capo[1]);
  return ok({ ...base, tuning, capo: fret < base.frets ? fret : base.capo });
}

function pitchNamed(text: string): Pitch {
  const pc = parsePitchClass(text.slice(0, -1))!;
  return { ...pc, octave: Number(text.slice(-1)) };
}

/** The open string of a name nearest to the usual one; the usual one without a name. */
function tuned(usual: Pitch, name: string): Pitch {
  if (name === '') return usual;
  const pc = parsePitchClass(name);
  if (pc === null) return usual;
  const octaves = [-1, 0, 1].map((by) => ({ ...pc, octave: usual.octave + by }));
  return octaves.reduce((a, b) =>
    Math.abs(midiOf(b) - midiOf(usual)) < Math.abs(midiOf(a) - midiOf(usual)) ? b : a,
  );
}

interface TabBar {
  readonly from: number;
  readonly to: number;
  readonly block: TabBlock;
  readonly cells: readonly TabCell[];
}

class TabReader {
  private readonly odd = new Map<string, number>();
  private readonly events: PhraseEvent[] = [];
  private readonly tuplets: Tuplet[] = [];
  private readonly chords: ChordChange[] = [];
  private count = 0;

  constructor(
    private readonly blocks: readonly TabBlock[],
    private readonly instrument: Instrument,
    private readonly origin: QuickOrigin,
    private readonly defaults: QuickDefaults,
  ) {}

  read(): Result<ReadTab> {
    const bars = this.blocks.flatMap((b) => this.barsOf(b));
    const filled = trimmed(bars);
    if (filled.length === 0) {
      return fail({
        message: 'there is no fret on these lines',
        fix: 'Paste lines with frets on them.',
        line: this.blocks[0]!.lines[0]!.line,
        column: 1,
      });
    }
    const top = playableFrets(this.instrument);
    for (const bar of filled) {
      const high = bar.cells.find((c) => c.fret > top);
      if (high !== undefined) {
        return fail({
          message: `fret ${high.fret} is beyond the neck, which ends at ${top}`,
          fix: 'Change it, or say which capo is meant.',
          line: bar.block.lines[high.string - 1]!.line,
          column: high.column + 1,
        });
      }
    }
    const full = meterTicks(this.defaults.meter);
    filled.forEach((bar, i) => {
      this.readBar(bar, i * full);
    });
    const phrase = this.phrase(filled.length, full);
    const mended = mendAfter(phrase, phrase);
    if (!mended.ok) return fail(this.placed(mended.problem));
    const lost = counted(mended.gaveWay).map((t) => `${t} without what it needs`);
    const ignored = [...this.odd].map(([sign, times]) =>
      times === 1 ? sign : `${sign} in ${times} places`,
    );
    return ok({ phrase: mended.phrase, ignored: [...ignored, ...lost] });
  }

  private placed(p: Problem): Problem {
    return { ...p, line: this.blocks[0]!.lines[0]!.line, column: 1 };
  }

  private barsOf(block: TabBlock): readonly TabBar[] {
    const { lines } = block;
    const cells = lines.flatMap((l, i) => cellsOf(l, i + 1, this.odd));
    const ends = barLines(lines);
    const left = Math.min(...lines.map((l) => l.start));
    const right = Math.max(...lines.map((l) => l.start + l.body.length));
    const edges = [
      left - 1,
      ...ends.filter((c) => c > left),
      ...(ends.at(-1) === right - 1 ? [] : [right]),
    ];
    return edges.slice(1).map((to, i) => {
      const from = edges[i]! + 1;
      return { from, to, block, cells: cells.filter((c) => c.column >= from && c.column < to) };
    });
  }

  private readBar(bar: TabBar, start: Ticks): void {
    const columns = groupColumns(bar.cells);
    const { onsets, triplets } = spaceBar(
      columns.map((g) => g.column - bar.from),
      Math.max(1, bar.to - bar.from),
      this.defaults.meter,
    );
    const full = meterTicks(this.defaults.meter);
    this.readChords(bar, start, columns, onsets);
    const phrase = this.phrase(1, Number.MAX_SAFE_INTEGER);
    columns.forEach((group, i) => {
      const onset = onsets[i];
      if (onset === undefined) return;
      const end = onsets[i + 1] ?? full;
      const notes = group.cells.map((c) => this.note(phrase, c, start + onset));
      const [first, ...rest] = notes.sort((a, b) => a.string - b.string);
      const muted = isMuted(bar, group.column);
      this.events.push({
        onset: start + onset,
        duration: end - onset,
        notes: [first!, ...rest],
        ...(muted ? { palmMute: true } : {}),
        guessed: true,
      });
    });
    this.tuplets.push(...triplets.map((t) => ({ ...t, onset: t.onset + start })));
  }

  /** Names of chords in the line above, each at the note it stands over or the next one. */
  private readChords(
    bar: TabBar,
    start: Ticks,
    columns: readonly Group[],
    onsets: readonly Ticks[],
  ): void {
    const above = bar.block.above.at(-1);
    if (above === undefined) return;
    const words = [...above.text.matchAll(/\S+/gu)];
    const read = words.map((w) => parseChordOrRoman(w[0], this.defaults.key));
    // A line of chord names has nothing else on it.
    if (read.length === 0 || read.some((r) => !r.ok)) return;
    words.forEach((w, i) => {
      const chord = read[i]!;
      if (!chord.ok || w.index < bar.from - 1 || w.index >= bar.to) return;
      const at = columns.findIndex((g) => g.column >= w.index - 1);
      const onset = at < 0 ? 0 : at === 0 ? 0 : (onsets[at] ?? 0);
      const change: ChordChange = { onset: start + onset, symbol: formatChord(chord.value) };
      if (this.chords.at(-1)?.onset !== change.onset) this.chords.push(change);
    });
  }

  private note(phrase: Phrase, c: TabCell, onset: Ticks): Note {
    this.count++;
    const id = `n${this.count}`;
    if (c.dead) return { kind: 'dead', id, string: c.string, fret: c.fret };
    const open = openMidi(this.instrument, c.string);
    const node = c.harmonic ? HARMONIC_NODES[c.fret] : undefined;
    if (c.harmonic && node === undefined) {
      this.odd.set(`a harmonic over fret ${c.fret}`, 1);
    }
    const midi = open + (node ?? c.fret);
    const bendTo = widthOf(c);
    const shape = c.released ? ('bend-release' as const) : ('bend' as const);
    return {
      kind: 'pitched',
      id,
      string: c.string,
      fret: c.fret,
      pitch: spellAt(phrase, onset, midi),
      ...(c.attack === null ? {} : { attack: c.attack }),
      ...(c.slideIn === null ? {} : { slideIn: slideInOf(c, c.slideIn) }),
      ...(c.slideOut === null ? {} : { slideOut: c.slideOut }),
      ...(c.bend === 'curl'
        ? { bend: { shape: 'curl' as const, curve: curveOfShape('curl') } }
        : {}),
      ...(bendTo === 0
        ? {}
        : {
            bend: {
              shape,
              target: spellAt(phrase, onset, midi + bendTo),
              curve: curveOfShape(shape),
            },
          }),
      ...(c.vibrato ? { vibrato: 'narrow' as const } : {}),
      ...(node === undefined ? {} : { harmonic: { kind: 'natural' as const, above: node } }),
      ...(c.ghost ? { ghost: true as const } : {}),
    };
  }

  private phrase(bars: number, full: Ticks): Phrase {
    const { key, tempo, feel, meter } = this.defaults;
    return {
      format: 'degreewise-phrase',
      version: PHRASE_VERSION,
      id: this.origin.id,
      parent: null,
      meta: { title: '', tags: [], created: this.origin.now, modified: this.origin.now },
      instrument: this.instrument,
      key,
      tempo,
      feel,
      pickup: 0,
      bars: Array.from({ length: bars }, () => ({ meter })),
      length: bars * full,
      chords: this.chords,
      voices: [{ events: this.events, tuplets: this.tuplets }],
      marks: [],
    };
  }
}

/** Semitones of a bend to a pitch, 0 for none; what is written without a number is a whole tone. */
function widthOf({ bend, fret }: TabCell): number {
  if (bend === null || bend === 'curl') return 0;
  return bend === 'full' ? 2 : Math.max(1, bend - fret);
}

function slideInOf(c: TabCell, slide: NonNullable<TabCell['slideIn']>): SlideIn {
  const semitones = slide.fret === null ? 0 : Math.abs(c.fret - slide.fret);
  return semitones === 0
    ? { kind: 'indefinite', from: slide.from }
    : { kind: 'interval', from: slide.from, semitones };
}

interface Group {
  readonly column: number;
  readonly cells: readonly TabCell[];
}

/** Frets that stand under each other; a two-digit one may begin a column early. */
function groupColumns(cells: readonly TabCell[]): readonly Group[] {
  const sorted = [...cells].sort((a, b) => a.column - b.column || a.string - b.string);
  const groups: { column: number; cells: TabCell[] }[] = [];
  for (const c of sorted) {
    const last = groups.at(-1);
    const wide = last?.cells.some((x) => x.fret > 9) === true || c.fret > 9;
    const near = last !== undefined && c.column - last.column <= (wide ? 1 : 0);
    if (last !== undefined && near && last.cells.every((x) => x.string !== c.string))
      last.cells.push(c);
    else groups.push({ column: c.column, cells: [c] });
  }
  return groups;
}

/** Columns where most lines have a bar line. */
function barLines(lines: readonly TabLine[]): readonly number[] {
  const votes = new Map<number, number>();
  for (const l of lines) {
    [...l.body].forEach((c, i) => {
      if (c === '|') votes.set(l.start + i, (votes.get(l.start + i) ?? 0) + 1);
    });
  }
  const columns = [...votes]
    .filter(([, n]) => n * 2 > lines.length)
    .map(([column]) => column)
    .sort((a, b) => a - b);
  // A double line is one line.
  return columns.filter((c, i) => columns[i + 1] !== c + 1);
}

/** Empty bars at the beginning and at the end are paper, not music. */
function trimmed(bars: readonly TabBar[]): readonly TabBar[] {
  const first = bars.findIndex((b) => b.cells.length > 0);
  if (first < 0) return [];
  const last = bars.reduce((found, b, i) => (b.cells.length > 0 ? i : found), first);
  return bars.slice(first, last + 1);
}

/** Whether a palm mute is written over a column: `P.M.` or `PM`, with dashes as far as it goes. */
function isMuted(bar: TabBar, column: number): boolean {
  return bar.block.above.some(({ text }) =>
    [...text.matchAll(/P\.?M\.?[-\s.]*[|-]?/gu)].some(
      (m) => column >= m.index && column < m.index + m[0].trimEnd().length,
    ),
  );
}

function counted(words: readonly string[]): readonly string[] {
  return [...new Set(words)];
}
