import { curveOfShape } from '../../../core/phrase/bend-curve';
import { HARMONIC_NODES, isWound, openMidi, playableFrets } from '../../../core/phrase/instrument';
import { byString } from '../../../core/phrase/rebuild';
import { beatTicks, meterTicks } from '../../../core/phrase/time';
import {
  type ChordChange,
  type Instrument,
  type Note,
  PHRASE_VERSION,
  type Phrase,
  type PhraseEvent,
  type PitchedNote,
  type SlideIn,
  type Ticks,
  type Tuplet,
} from '../../../core/phrase/types';
import { fail, ok, type Problem, type Result } from '../../../core/result';
import { spellAt } from '../../../core/understand/spell';
import { mendAfter } from '../../../core/validity/mend';
import { LIMITS } from '../../json/limits';
import { checkStorable } from '../../json/storable';
import type { QuickDefaults, QuickOrigin } from '../../quick/read-head';
import { type BlockSigns, signsOver } from './above';
import { barsOf, dividedBar, type Group, groupColumns, type TabBar, trimmed } from './bars';
import type { TabCell } from './cells';
import type { TabBlock } from './lines';
import { spaceBar } from './spacing';

/** Semitones over the stopped note by the frets above it at which the string is touched (common practice). */
const STOPPED_NODES: Readonly<Record<number, 12 | 19 | 24>> = { 12: 12, 7: 19, 5: 24 };

/** A text tablature as a phrase, and what became of its signs. */
export interface ReadTab {
  readonly phrase: Phrase;
  /** What could not be understood or kept, in words: `'c' on 2 places`. */
  readonly ignored: readonly string[];
}

/** What the words around the tablature say of its signs. */
export interface Legend {
  readonly wideVibrato: boolean;
  /** Whether we wrote the text. */
  readonly own: boolean;
  readonly title: string;
}

/** Makes a phrase of blocks of tablature. */
export class TabReader {
  protected readonly odd = new Map<string, number>();
  protected readonly events: PhraseEvent[] = [];
  private readonly tuplets: Tuplet[] = [];
  protected readonly chords: ChordChange[] = [];
  private readonly signs = new Map<TabBlock, BlockSigns>();
  /** The bar of the text that each event of the phrase was read from. */
  protected readonly sources: TabBar[] = [];
  private count = 0;

  constructor(
    protected readonly blocks: readonly TabBlock[],
    protected instrument: Instrument,
    private readonly origin: QuickOrigin,
    protected readonly defaults: QuickDefaults,
    protected readonly says: Legend,
  ) {}

  read(): Result<ReadTab> {
    const full = meterTicks(this.defaults.meter);
    const filled = trimmed(this.blocks.flatMap((b) => barsOf(b, this.odd, this.says.own))).flatMap(
      (bar) => this.divided(bar, full),
    );
    if (filled.length === 0) {
      return fail({
        message: 'there is no fret on these lines',
        fix: 'Paste lines with frets on them.',
        line: this.blocks[0]!.lines[0]!.line,
        column: 1,
      });
    }
    if (!this.says.own) this.instrument = withFrets(this.instrument, filled);
    const beyond = this.beyondNeck(filled);
    if (beyond !== null) return fail(beyond);
    filled.forEach((bar, i) => {
      this.readBar(bar, i * full);
    });
    return this.finished(this.phrase(filled.length, full));
  }

  /** The first fret that the neck does not have. */
  protected beyondNeck(bars: readonly TabBar[]): Problem | null {
    const top = playableFrets(this.instrument);
    for (const bar of bars) {
      const high = bar.cells.find((c) => c.fret > top);
      if (high === undefined) continue;
      return {
        message: `fret ${high.fret} is beyond the neck, which ends at ${top}`,
        fix: 'Change it, or say which capo is meant.',
        line: bar.block.lines[high.string - 1]!.line,
        column: high.column + 1,
      };
    }
    return null;
  }

  /** The phrase, mended and checked, with what was not kept. */
  protected finished(phrase: Phrase): Result<ReadTab> {
    const large = phrase.bars.length > LIMITS.bars ? checkStorable(phrase) : [];
    if (large.length > 0) return fail(...large.map((p) => this.placed(p)));
    const mended = mendAfter(phrase, phrase);
    if (!mended.ok) return fail(this.placed(mended.problem));
    const wrong = checkStorable(mended.phrase);
    if (wrong.length > 0) return fail(...wrong.map((p) => this.placed(p)));
    const lost = counted(mended.gaveWay).map((t) => `${t} without what it needs`);
    const ignored = [...this.odd].map(([sign, times]) =>
      times === 1 ? sign : `${sign} in ${times} places`,
    );
    return ok({ phrase: mended.phrase, ignored: [...ignored, ...lost] });
  }

  /** A bar as the bars it makes: one with more moments than any division holds becomes several. */
  private divided(bar: TabBar, full: Ticks): readonly TabBar[] {
    const bars = dividedBar(bar, full);
    if (bars.length > 1) {
      this.odd.set(
        `a bar line after ${groupColumns(bar.cells).length} moments, read as ${bars.length} bars`,
        1,
      );
    }
    return bars;
  }

  /** The problem with the line and column of the moment it is about, or of the first string. */
  private placed(p: Problem): Problem {
    const m = /^\/voices\/0\/events\/(\d+)/u.exec(p.pointer ?? '');
    const bar = m === null ? undefined : this.sources[Number(m[1])];
    if (bar === undefined) return { ...p, line: this.blocks[0]!.lines[0]!.line, column: 1 };
    return { ...p, line: bar.block.lines[0]!.line, column: bar.from + 1 };
  }

  private readBar(bar: TabBar, start: Ticks): void {
    const columns = groupColumns(bar.cells);
    const { onsets, triplets } = spaceBar(
      columns.map((g) => g.column - bar.from),
      Math.max(1, bar.to - bar.from),
      this.defaults.meter,
    );
    const full = meterTicks(this.defaults.meter);
    const signs = this.signsOver(bar.block);
    const before = Math.max(0, this.chords.length - 1);
    this.readChords(signs, bar, start, columns, onsets);
    // For names only the chords that sound in this bar are needed.
    const chords = this.chords.slice(before);
    const phrase = { ...this.phrase(1, Number.MAX_SAFE_INTEGER), chords };
    columns.forEach((group, i) => {
      const onset = onsets[i];
      if (onset === undefined) return;
      const end = onsets[i + 1] ?? full;
      const notes = group.cells.map((c) => this.note(phrase, c, start + onset));
      this.sources.push(bar);
      this.events.push({
        onset: start + onset,
        duration: end - onset,
        notes: byString(notes),
        ...(signs.isMuted(group.column) ? { palmMute: true } : {}),
        guessed: true,
      });
    });
    this.tuplets.push(...triplets.map((t) => ({ ...t, onset: t.onset + start })));
  }

  protected signsOver(block: TabBlock): BlockSigns {
    const known = this.signs.get(block) ?? signsOver(block, this.defaults.key);
    this.signs.set(block, known);
    return known;
  }

  /** Names of chords in the line above, each at the note it stands over or the next one. */
  private readChords(
    signs: BlockSigns,
    bar: TabBar,
    start: Ticks,
    columns: readonly Group[],
    onsets: readonly Ticks[],
  ): void {
    const right = Math.max(...bar.block.lines.map((l) => l.start + l.body.length));
    // A name over the end of the lines is the last bar's.
    const to = bar.to >= right - 1 ? Number.POSITIVE_INFINITY : bar.to;
    for (const { column, symbol } of signs.chordsIn(to)) {
      const at = columns.findIndex((g) => g.column >= column - 1);
      // Behind the last note it stands on the beat that its place suggests.
      const onset = at < 0 ? this.beatNear(bar, column) : at === 0 ? 0 : (onsets[at] ?? 0);
      const change: ChordChange = { onset: start + onset, symbol };
      const before = this.chords.at(-1);
      if (before === undefined || before.onset < change.onset) this.chords.push(change);
      else if (symbol !== before.symbol) this.notKept(`the chord ${symbol}`);
    }
  }

  private beatNear(bar: TabBar, column: number): Ticks {
    const { meter } = this.defaults;
    const [full, beat] = [meterTicks(meter), beatTicks(meter)];
    const share = Math.max(0, column - bar.from) / Math.max(1, bar.to - bar.from);
    return Math.min(full - beat, Math.round((share * full) / beat) * beat);
  }

  protected note(phrase: Phrase, c: TabCell, onset: Ticks): Note {
    this.count++;
    const id = `n${this.count}`;
    if (c.dead) {
      const scraped = c.slideOut !== null && isWound(this.instrument, c.string);
      const scrape = scraped ? { scrape: c.slideOut } : {};
      return { kind: 'dead', id, string: c.string, fret: c.fret, ...scrape };
    }
    const open = openMidi(this.instrument, c.string);
    const node = c.harmonic ? HARMONIC_NODES[c.fret] : undefined;
    if (c.harmonic && node === undefined) this.notKept(`a harmonic over fret ${c.fret}`);
    const midi = open + (node ?? c.fret);
    const bendTo = widthOf(c);
    const bend = c.preBent ? ('pre-bend' as const) : ('bend' as const);
    const shape = c.released ? (`${bend}-release` as const) : bend;
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
      ...(c.waves === 0
        ? {}
        : { vibrato: this.isWide(c) ? ('wide' as const) : ('narrow' as const) }),
      ...this.dip(c),
      ...(this.trills(c) ? { trill: { upper: spellAt(phrase, onset, open + c.trill!) } } : {}),
      ...(node === undefined ? {} : { harmonic: { kind: 'natural' as const, above: node } }),
      ...this.stoppedHarmonic(c),
      ...(c.letRing ? { letRing: true as const } : {}),
      ...(c.ghost ? { ghost: true as const } : {}),
    };
  }

  /** A line of any length is a vibrato; two waves are a wide one where the legend says so. */
  private isWide(c: TabCell): boolean {
    return c.waves === 2 && this.says.wideVibrato;
  }

  private dip({ dip }: TabCell): Pick<PitchedNote, 'barDip'> {
    if (dip === null) return {};
    if (dip > 0 && dip <= MOST_SLID) return { barDip: dip };
    this.notKept(`a dip of ${dip}`);
    return {};
  }

  protected notKept(sign: string): void {
    this.odd.set(sign, (this.odd.get(sign) ?? 0) + 1);
  }

  /** Whether the trill can be kept: upwards, on the neck, and of a note that does nothing else. */
  private trills(c: TabCell): boolean {
    if (c.trill === null) return false;
    const width = c.trill - c.fret;
    const plain = c.bend === null && c.waves === 0 && !c.harmonic && c.stopped === null;
    const fits = width >= 1 && width <= 12 && c.trill <= playableFrets(this.instrument);
    if (!plain || !fits) this.notKept('a trill');
    return plain && fits;
  }

  private stoppedHarmonic(c: TabCell): Pick<PitchedNote, 'harmonic'> {
    if (c.stopped === null) return {};
    const above = c.stopped === 'pinch' ? 12 : STOPPED_NODES[c.stopped - c.fret];
    if (c.harmonic || c.fret === 0 || above === undefined) {
      this.notKept('a stopped harmonic');
      return {};
    }
    return { harmonic: { kind: c.stopped === 'pinch' ? 'pinch' : 'artificial', above } };
  }

  protected phrase(bars: number, full: Ticks): Phrase {
    const { key, tempo, feel, meter } = this.defaults;
    return {
      format: 'degreewise-phrase',
      version: PHRASE_VERSION,
      id: this.origin.id,
      parent: null,
      meta: {
        title: this.says.title,
        tags: [],
        created: this.origin.now,
        modified: this.origin.now,
      },
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

/** Semitones; a longer slide has no beginning that could be written, and a deeper dip is none. */
const MOST_SLID = 12;

function slideInOf(c: TabCell, slide: NonNullable<TabCell['slideIn']>): SlideIn {
  const semitones = slide.fret === null ? 0 : Math.abs(c.fret - slide.fret);
  return semitones === 0 || semitones > MOST_SLID
    ? { kind: 'indefinite', from: slide.from }
    : { kind: 'interval', from: slide.from, semitones };
}

/** Each word once, with the number of notes it is about. */
function counted(words: readonly string[]): readonly string[] {
  const times = new Map<string, number>();
  for (const w of words) times.set(w, (times.get(w) ?? 0) + 1);
  return [...times].map(([w, n]) => (n === 1 ? w : `${w} on ${n} notes`));
}

/** More frets no guitar or bass is built with (common practice). */
const MOST_FRETS = 24;

/** As many frets as pasted tablature plays, which never says how many there are; no more than any has. */
function withFrets(i: Instrument, bars: readonly TabBar[]): Instrument {
  const highest = bars.flatMap((b) => b.cells).reduce((most, c) => Math.max(most, c.fret), 0);
  const needed = highest + i.capo;
  return needed > i.frets && needed <= MOST_FRETS ? { ...i, frets: needed } : i;
}
