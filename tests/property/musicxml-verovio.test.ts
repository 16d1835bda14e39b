import { beforeAll, describe, expect, it } from 'vitest';
import { barAt } from '../../src/core/phrase/time';
import type { Phrase } from '../../src/core/phrase/types';
import { notesOf } from '../../src/core/phrase/walk';
import { formatPitch, midiOf } from '../../src/core/theory/pitch';
import { writeMusicXml } from '../../src/io/musicxml/write/write-musicxml';
import { seededPhrase } from '../support/arbitrary';
import { MUSICXML_CASES } from '../support/musicxml-cases';
import { type ReadByVerovio, startVerovio, type VerovioNote } from '../support/verovio';

/*
 * An independent reading of what is exported: verovio 6.3.0 (LGPL, RISM). Onsets and durations are
 * reckoned from the note values and tuplets of its MEI as exact fractions, since its MIDI rounds
 * triplets. Pitches of the tab staff are verovio's own, from tuning, string and fret, so that a
 * wrong fret shows. Verovio ignores capo, harmonics and dead notes; they are left out of that.
 */

const PHRASES: readonly (readonly [string, Phrase])[] = [
  ...MUSICXML_CASES.map((p) => [p.meta.title, p] as const),
  ...Array.from({ length: 60 }, (_, i) => [`seed ${1_000 + i}`, seededPhrase(1_000 + i)] as const),
];

let read: ReadByVerovio;
beforeAll(async () => {
  read = await startVerovio();
});

/** The tied notes of one note joined: verovio's parts `n5`, `n5.2` … */
function joined(notes: ReadonlyMap<string, VerovioNote>, id: string) {
  const first = notes.get(id);
  if (first === undefined) return null;
  let duration = first.duration;
  let parts = 1;
  for (;;) {
    const next = notes.get(`${id}.${parts + 1}`);
    if (next === undefined) return { ...first, duration, parts };
    // Parts follow one another without a gap and keep pitch, string and fret.
    expect(next.onset).toBe(first.onset + duration);
    expect([next.spelled, next.midi, next.string, next.fret]).toEqual([
      first.spelled,
      first.midi,
      first.string,
      first.fret,
    ]);
    duration += next.duration;
    parts++;
  }
}

describe('verovio reads', () => {
  it.each(PHRASES)('%s: pitches, onsets, durations, tab against staff, ties', (_, p) => {
    const { notes, ties } = read(writeMusicXml(p));
    const expectedTies: string[] = [];
    notesOf(p).forEach(({ note, event }, i) => {
      const staff = joined(notes, `n${i + 1}`);
      const tab = joined(notes, `t${i + 1}`);
      if (staff === null || tab === null) throw new Error(`note ${i + 1} is missing`);
      for (const n of [staff, tab]) {
        expect([n.onset, n.duration]).toEqual([event.onset, event.duration]);
      }
      expect([tab.string, tab.fret]).toEqual([note.string, note.fret]);
      for (let k = 1; k < staff.parts; k++) {
        const from = k === 1 ? `n${i + 1}` : `n${i + 1}.${k}`;
        expectedTies.push(`${from} n${i + 1}.${k + 1}`);
      }
      if (note.kind === 'dead') return;
      expect(staff.spelled).toBe(formatPitch(note.pitch));
      expect(staff.midi).toBe(midiOf(note.pitch));
      if (p.instrument.capo === 0 && note.harmonic?.kind !== 'natural') {
        expect(tab.midi).toBe(midiOf(note.pitch));
      }
    });
    const staffTies = ties.map((t) => t.join(' ')).filter((t) => t.startsWith('n'));
    expect(staffTies.sort()).toEqual(expectedTies.sort());
  });

  it('chord symbols at their own place in the bar', () => {
    let inside = 0;
    for (const [, p] of PHRASES.slice(0, MUSICXML_CASES.length)) {
      const { harmonies } = read(writeMusicXml(p));
      expect(harmonies).toHaveLength(p.chords.length);
      harmonies.forEach((h, i) => {
        const { onset } = p.chords[i]!;
        expect(Math.abs(h.onset - onset)).toBeLessThan(5);
        if (onset !== barAt(p, onset).start) inside++;
      });
    }
    expect(inside).toBeGreaterThan(5);
  });

  it('what is written as fingered with the way back to what sounds (N2)', () => {
    // E♭ read as E, a semitone above; with a capo at 3 read as D♭, a tone below.
    for (const [title, steps, semitones] of [
      ['Half a step down', 0, -1],
      ['Half a step down with a capo', 1, 2],
    ] as const) {
      const p = MUSICXML_CASES.find((c) => c.meta.title === title)!;
      const { notes, transpositions } = read(writeMusicXml(p, { asFingered: true }));
      expect(transpositions).toEqual([
        [steps, semitones],
        [steps, semitones],
      ]);
      notesOf(p).forEach(({ note }, i) => {
        if (note.kind === 'dead') return;
        const staff = notes.get(`n${i + 1}`);
        expect(staff!.midi + semitones).toBe(midiOf(note.pitch));
      });
    }
  });

  it('a planted wrong fret, so that the comparison can fail', () => {
    const p = MUSICXML_CASES[0]!;
    const xml = writeMusicXml(p);
    const bad = xml.replace('<fret>7</fret>', '<fret>8</fret>');
    expect(read(bad).notes.get('t1')?.midi).not.toBe(read(xml).notes.get('t1')?.midi);
  });
});
