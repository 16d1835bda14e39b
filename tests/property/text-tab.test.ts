import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { writeRhythm } from '../../src/core/phrase/rhythm';
import type { Phrase } from '../../src/core/phrase/types';
import { notesOf } from '../../src/core/phrase/walk';
import { formatPitch } from '../../src/core/theory/pitch';
import { analyse } from '../../src/core/understand/analyse';
import { readTextTab } from '../../src/io/text-tab/read/read-text-tab';
import { layTextTabs, writeTextTab } from '../../src/io/text-tab/write/write-text-tab';
import { arbPhrase } from '../support/arbitrary';

const RUNS = 50;
const page = fc.record({
  width: fc.integer({ min: 50, max: 140 }),
  degrees: fc.constantFrom('chord', 'key', 'off'),
});

/** What stands behind the label of a row, for every system in order. */
function rowsOf(lines: readonly string[], label: string, margin: number): readonly string[] {
  return lines
    .filter((l) => l.slice(0, margin).trim() === label && l.length > margin)
    .map((l) => l.slice(margin));
}

function wordsOf(rows: readonly string[]): readonly string[] {
  return rows.flatMap((r) => r.split(/\s+/u)).filter((w) => w !== '');
}

/** Lines of strings: a margin ending in the name of the string, then the bar line or a dash. */
function systemsOf(lines: readonly string[], p: Phrase, margin: number): readonly string[][] {
  const names = p.instrument.tuning.map(formatPitch);
  const systems: string[][] = [];
  lines.forEach((l, i) => {
    if (l.slice(0, margin).trim() === names[0] && /^[|-]/u.test(l.slice(margin))) {
      if (lines[i + names.length - 1]?.slice(0, margin).trim() === names.at(-1)) {
        systems.push([...lines.slice(i, i + names.length)]);
      }
    }
  });
  return systems;
}

/** Width of the labels: the string lines are preceded by it, whatever their name. */
function marginOf(lines: readonly string[]): number {
  return Math.min(
    ...lines.filter((l) => /^ *[A-G][b#]*\d \S/u.test(l)).map((l) => l.search(/\d /u) + 2),
  );
}

describe('text tab of any phrase', () => {
  it('has every fret in its string line, in one column per moment, in order of time', () => {
    fc.assert(
      fc.property(arbPhrase({ maxBars: 3 }), page, (p, o) => {
        const { lines, places } = layTextTabs([{ phrase: p }], { ...o, ascii: true });
        const margin = marginOf(lines);
        const columns = new Map<string, number>();
        let before = { onset: -1, key: -1 };
        for (const { note, onset } of notesOf(p)) {
          const at = places[0]!.get(note.id)!;
          const line = lines[at.line]!;
          expect(line.slice(0, margin).trim()).toBe(
            formatPitch(p.instrument.tuning[note.string - 1]!),
          );
          const fret = note.kind === 'dead' ? 'x' : String(note.fret);
          expect(line.slice(at.column, at.column + fret.length)).toBe(fret);
          expect(line[at.column - 1]).not.toMatch(/\d/u);
          expect(line[at.column + fret.length]).not.toMatch(/\d/u);
          // The first string of the system tells which system it is.
          const system = at.line - (note.string - 1);
          const moment = `${system} ${onset}`;
          expect(columns.get(moment) ?? at.column).toBe(at.column);
          columns.set(moment, at.column);
          const key = system * 1000 + at.column;
          if (onset > before.onset) expect(key).toBeGreaterThan(before.key);
          before = { onset, key };
        }
      }),
      { seed: 20_261, numRuns: RUNS },
    );
  });

  it('has string lines of one length in each system and no line wider than the page', () => {
    fc.assert(
      fc.property(arbPhrase({ maxBars: 3 }), page, (p, o) => {
        const { lines } = layTextTabs([{ phrase: p }], { ...o, ascii: true });
        const systems = systemsOf(lines, p, marginOf(lines));
        expect(systems.length).toBeGreaterThan(0);
        for (const s of systems) expect(new Set(s.map((l) => l.length)).size).toBe(1);
        for (const l of lines) expect([...l].length).toBeLessThanOrEqual(o.width);
      }),
      { seed: 20_262, numRuns: RUNS },
    );
  });

  it('lets no value, chord symbol or degree run into another', () => {
    fc.assert(
      fc.property(arbPhrase({ maxBars: 3 }), page, (p, o) => {
        const { lines } = layTextTabs([{ phrase: p }], { ...o, ascii: true });
        const margin = marginOf(lines);
        const written = writeRhythm(p);
        const items = (v: number) => written.reduce((n, b) => n + (b.voices[v]?.length ?? 0), 0);
        const two = p.voices.length > 1;
        expect(wordsOf(rowsOf(lines, two ? 'upper' : 'value', margin))).toHaveLength(items(0));
        expect(wordsOf(rowsOf(lines, 'lower', margin))).toHaveLength(items(1));
        const symbols = p.chords.map((c) => c.symbol ?? 'N.C.');
        expect(wordsOf(rowsOf(lines, 'chord', margin))).toEqual(symbols);
        expect(degreeCount(lines, margin)).toBe(expectedDegrees(p, o.degrees));
      }),
      { seed: 20_263, numRuns: RUNS },
    );
  });

  it('is ASCII throughout when asked, but for the words of people', () => {
    fc.assert(
      fc.property(arbPhrase({ maxBars: 2, without: ['marks'] }), (p) => {
        const { lines } = layTextTabs([{ phrase: p }], {
          width: 80,
          degrees: 'chord',
          ascii: true,
        });
        expect(lines.join('')).toMatch(/^[\x20-\x7e]*$/u);
      }),
      { seed: 20_264, numRuns: 60 },
    );
  });

  it('comes back whole where one voice has it: time, bars, places, how notes are reached and left', () => {
    const told = (p: Phrase) => {
      const { key, tempo, feel, pickup, bars, length, chords, voices, meta, instrument } = p;
      const { name, tuning, frets, capo } = instrument;
      const v = voices[0];
      const events = v.events.map(({ onset, duration, notes, rake, palmMute }) => [
        [onset, duration, rake, palmMute],
        notes.map((n) =>
          n.kind === 'dead'
            ? [n.string, 'x', n.scrape]
            : [
                n.string,
                n.fret,
                n.attack,
                n.bend?.shape,
                n.slideOut,
                n.slideIn,
                n.vibrato,
                n.ghost,
              ],
        ),
      ]);
      const frame = { key, tempo, feel, pickup, bars, length, chords, title: meta.title };
      return { ...frame, name, tuning, frets, capo, events, tuplets: v.tuplets };
    };
    let compared = 0;
    fc.assert(
      fc.property(arbPhrase({ maxBars: 2, without: ['graces'] }), page, (p, o) => {
        if (p.voices.length > 1) return;
        const read = readTextTab(writeTextTab(p, { ...o, width: 100 }), {
          id: 'x',
          now: p.meta.created,
        });
        if (!read.ok) throw new Error(JSON.stringify(read.problems));
        expect(told(read.value.phrase)).toEqual(told(p));
        compared++;
      }),
      { seed: 20_266, numRuns: 40 },
    );
    expect(compared).toBeGreaterThan(20);
  });

  it('is the same every time', () => {
    fc.assert(
      fc.property(arbPhrase({ maxBars: 2 }), (p) => {
        const once = writeTextTab(p, { width: 72, degrees: 'chord' });
        expect(writeTextTab(structuredClone(p), { width: 72, degrees: 'chord' })).toBe(once);
      }),
      { seed: 20_265, numRuns: 20 },
    );
  });
});

/** Words in the rows from the one labelled to the end of the system: degrees are the last rows. */
function degreeCount(lines: readonly string[], margin: number): number {
  let inside = false;
  let found = 0;
  for (const l of lines) {
    if (l === '') inside = false;
    const label = l.slice(0, margin).trim();
    if (label === 'degree' || label === 'in key') inside = true;
    // The dash stands for a note without degree beside others that have one.
    if (inside)
      found += l
        .slice(margin)
        .split(/\s+/u)
        .filter((w) => w !== '' && w !== '-').length;
  }
  return found;
}

function expectedDegrees(p: Phrase, view: 'chord' | 'key' | 'off'): number {
  if (view === 'off') return 0;
  const { readings } = analyse(p);
  if (view === 'key') return readings.length;
  return readings.reduce(
    (n, r) => n + (r.start.chordDegree === null ? 0 : 1) + (r.laterDegree === null ? 0 : 1),
    0,
  );
}
