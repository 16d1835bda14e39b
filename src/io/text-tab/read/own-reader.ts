import { openMidi } from '../../../core/phrase/instrument';
import { byString, type NonEmpty, nonEmpty } from '../../../core/phrase/rebuild';
import type { Attack, Grace, GraceNote, Phrase, Place } from '../../../core/phrase/types';
import { fail, type Result } from '../../../core/result';
import { formatChord } from '../../../core/theory/chord';
import { parseChordOrRoman } from '../../../core/theory/roman';
import { spellAt } from '../../../core/understand/spell';
import { barsOf, type TabBar } from './bars';
import type { TabCell } from './cells';
import type { TabBlock } from './lines';
import type { OwnMoment, OwnRows } from './own-rows';
import { type ReadTab, TabReader } from './tab-reader';

/**
 * Reads a text of our own: time is what the rows of values say, not what the spacing suggests. What they
 * do not hold (a second voice, the course of a bend) is guessed or left out as in any other text.
 */
export class OwnTabReader extends TabReader {
  /** @returns null where frets and values do not stand over each other: somebody changed the text. */
  readOwn(rows: OwnRows): Result<ReadTab> | null {
    const columns = new Map(this.blocks.map((b) => [b, this.columnsOf(b)]));
    const bars: TabBar[] = rows.moments.map(({ block, column }) => ({
      block,
      from: column,
      to: column + 1,
      cells: columns.get(block)!.get(column) ?? [],
    }));
    if (bars.some((b) => b.cells.length === 0)) return null;
    const beyond = this.beyondNeck(bars);
    if (beyond !== null) return fail(beyond);
    this.odd.delete('repeat signs');
    this.readLane(rows);
    const phrase: Phrase = {
      ...this.phrase(1, 0),
      pickup: rows.pickup,
      bars: rows.bars,
      length: rows.length,
      voices: [{ events: this.events, tuplets: rows.tuplets }],
    };
    const leads = leadsOf(rows.moments, columns);
    rows.moments.forEach((m, i) => {
      this.addEvent(phrase, m, bars[i]!, leads.get(m) ?? []);
    });
    return this.finished(phrase);
  }

  private columnsOf(block: TabBlock): Columns {
    const columns = new Map<number, TabCell[]>();
    for (const { cells } of barsOf(block, this.odd, true)) {
      for (const c of cells) columns.set(c.column, [...(columns.get(c.column) ?? []), c]);
    }
    return columns;
  }

  private addEvent(phrase: Phrase, m: OwnMoment, bar: TabBar, leads: readonly TabCell[]): void {
    const rake = nonEmpty(leads.filter((c) => c.dead).map((c) => c.string));
    const before = leads.filter((c) => !c.dead);
    // `g15g15/16`: behind a grace note the second is one too, and slides on; alone it is a slide in.
    const slid = bar.cells.filter(
      (c) => slidFrom(c) !== null && before.some((b) => b.string === c.string),
    );
    const graces = this.graces(phrase, m, [...before, ...slid.map(graceBefore)]);
    const cells = bar.cells.map(
      (c): TabCell => (slid.includes(c) ? { ...c, slideIn: null, attack: 'slide' } : c),
    );
    this.sources.push(bar);
    this.events.push({
      onset: m.onset,
      duration: m.duration,
      notes: byString(cells.map((c) => this.note(phrase, c, m.onset))),
      ...(graces === null ? {} : { graces }),
      ...(rake === null ? {} : { rake }),
      ...(this.signsOver(m.block).isMuted(m.column) ? { palmMute: true as const } : {}),
    });
  }

  /** Grace notes in playing order; those that stand under each other are one chord. */
  private graces(phrase: Phrase, m: OwnMoment, cells: readonly TabCell[]): NonEmpty<Grace> | null {
    const columns = new Map<number, GraceNote[]>();
    const begun = new Set<number>();
    const add = (column: number, { string, fret }: Place, attack: Attack | null) => {
      const pitch = spellAt(phrase, m.onset, openMidi(this.instrument, string) + fret);
      const legato = attack === 'hammer-on' || attack === 'pull-off' || attack === 'slide';
      // Nothing leads to the first one on its string.
      const led = legato && begun.has(string) ? { attack } : {};
      begun.add(string);
      columns.set(column, [...(columns.get(column) ?? []), { pitch, string, fret, ...led }]);
    };
    for (const c of [...cells].sort((a, b) => a.column - b.column || a.string - b.string)) {
      // `g17\15` before a note of its own is a grace that slides on to the next.
      const from = slidFrom(c);
      if (from !== null) add(c.column - 1, { string: c.string, fret: from }, null);
      add(c.column, c, from === null ? c.attack : 'slide');
    }
    return nonEmpty(
      [...columns.values()].slice(-MOST_GRACES).map((notes): Grace => ({ notes: byString(notes) })),
    );
  }

  private readLane(rows: OwnRows): void {
    for (const block of this.blocks)
      for (const w of rows.over(block, 'chord')) this.addChord(rows, block, w);
  }

  private addChord(
    rows: OwnRows,
    block: TabBlock,
    { column, text }: { readonly column: number; readonly text: string },
  ): void {
    const onset = rows.onsetAt(block, column);
    const chord = text === 'N.C.' ? null : parseChordOrRoman(text, this.defaults.key);
    // Counts that somebody changed may run backwards.
    const least = (this.chords.at(-1)?.onset ?? -1) + 1;
    if (onset === null || onset < least || chord?.ok === false) {
      this.notKept(`the chord ${text}`);
      return;
    }
    this.chords.push({ onset, symbol: chord === null ? null : formatChord(chord.value) });
  }
}

/** More grace notes before one note cannot be stored. */
const MOST_GRACES = 16;

type Columns = ReadonlyMap<number, readonly TabCell[]>;

/** What stands between the moments of a block leads to the next one. */
function leadsOf(
  moments: readonly OwnMoment[],
  blocks: ReadonlyMap<TabBlock, Columns>,
): ReadonlyMap<OwnMoment, readonly TabCell[]> {
  const found = new Map<OwnMoment, TabCell[]>();
  const byBlock = new Map<TabBlock, OwnMoment[]>();
  for (const m of moments) {
    const list = byBlock.get(m.block) ?? [];
    byBlock.set(m.block, list);
    list.push(m);
  }
  for (const [block, own] of byBlock) {
    let next = 0;
    for (const [column, cells] of [...blocks.get(block)!].sort(([a], [b]) => a - b)) {
      while (next < own.length && own[next]!.column < column) next++;
      const m = own[next];
      if (m === undefined || m.column === column) continue;
      const led = found.get(m) ?? [];
      found.set(m, led);
      led.push(...cells);
    }
  }
  return found;
}

/** The fret that a slide into a note is written from; null where none is. */
function slidFrom(c: TabCell): number | null {
  return c.slideIn?.fret ?? null;
}

function graceBefore(c: TabCell): TabCell {
  return { ...c, column: c.column - 1, fret: slidFrom(c) ?? c.fret, slideIn: null, attack: null };
}
