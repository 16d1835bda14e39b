import { describe, expect, it } from 'vitest';
import { movePhrase } from '../../../../src/core/move/move';
import type { Moved } from '../../../../src/core/move/request';
import { formatPitch } from '../../../../src/core/theory/pitch';
import { judgeOctaves } from '../../../support/brute-octaves';
import { build } from '../../../support/build';
import { moved, quick, toChord, toLane } from '../../../support/moves';
import { readSamples } from '../../../support/samples';

const pitches = (m: Moved) => m.report.notes.map((n) => formatPitch(n.after.pitch));
const shifts = (m: Moved) => m.report.segments.map((s) => s.semitones);
const said = (m: Moved) =>
  [...m.report.general, ...m.report.notes.flatMap((n) => n.adaptations)].map(
    (a) => `${a.rule}: ${a.text}`,
  );

const FOUR = '[C] {C7} q 3:5 3:9 3:0 3:3 | 3:5 3:3 3:0 3:9';

describe('M7: a phrase stays one connected line', () => {
  it('goes on upwards over the next chord, though down would be nearer for that chord alone', () => {
    // Shifts 0 −3 +2 +7: 3 + 5 + 5 over the joints and 1 outside the nearest way are 14; with −5 they are 15.
    const p = quick(FOUR);
    const m = moved(p, toLane(p, 'I7 VI7 | ii7 V7'), { hand: 'area' });
    expect(shifts(m)).toEqual([0, -3, 2, 7]);
    expect(pitches(m).slice(-2)).toEqual(['D4', 'B4']);
  });

  it('names a shift that lies outside the way that was wished', () => {
    const p = quick(FOUR);
    const m = moved(p, toLane(p, 'I7 VI7 | ii7 V7'), { hand: 'area' });
    expect(said(m).join('\n')).toMatch(
      /M7: C7 to G7 goes up 7 semitones, farther than the nearest way, so that the line stays together/u,
    );
  });

  it('a segment stays where up was asked, so that the line stays together, and says so', () => {
    const p = build('q 3/5 3/9 3/5 3/9 | 3/5 3/9 3/5 3/9', { key: 'C', chords: 'C7' });
    const m = moved(p, toLane(p, 'Db7 | C7'), { octave: 'up' });
    expect(shifts(m)).toEqual([1, 0]);
    expect(said(m).join('\n')).toMatch(/M7: C7 stays, though up was asked, so that the line/u);
  });

  it('a segment without a note of its own is no neighbour', () => {
    // The last note of bar 1 is an approach that belongs to its goal over the next chord (M3), and the
    // chord over it has no other note: what counts is the way from the first chord to the last.
    const p = build('q 3/5 3/9 - 3/4=B3 | h 3/5 3/9', { key: 'C', chords: 'C7 | C7' });
    const m = moved(p, toLane(p, 'C7 Gb7 | C7'));
    expect(m.report.segments.map((s) => s.to)).toEqual(['C7', 'C7']);
    expect(shifts(m)).toEqual([0, 0]);
  });

  it('names a jump of the hand that the original did not have', () => {
    // A diminished fifth goes down six frets on the same string.
    const p = build('q 3/9 3/12 3/9 3/12 | 3/9 3/12 3/9 3/12', { key: 'C', chords: 'C7 | C7' });
    const m = moved(p, toLane(p, 'C7 | Gb7'));
    expect(shifts(m)).toEqual([0, -6]);
    expect(said(m).filter((x) => x.includes('jumps'))).toEqual([
      'M7: the hand jumps 6 frets down the neck here, as it did not before',
    ]);
    const same = moved(p, toLane(p, 'C7 | C7'));
    expect(said(same)).toEqual([]);
  });

  it('says of a part that the hand put elsewhere what it did, not what was planned', () => {
    const p = readSamples().find((s) => s.phrase.meta.title === 'Lifeboat Sunday')!.phrase;
    const m = moved(p, toChord(p, 'IV7'));
    expect(shifts(m)).toEqual([5, 0, 5, -2, 5]);
    expect(said(m).filter((x) => x.startsWith('M7') && !x.includes('jumps'))).toEqual([
      'M7: A♭ to D♭7 an octave higher than the line would go on, since A♭ (bar 4, beat 1) lies below the open string 2; 2 more notes are in the way as well',
    ]);
  });

  it('parts where the instrument ends, and names it', () => {
    // On a ukulele (G4 C4 E4 A4, 12 frets) nothing lies below C4 and nothing above A5.
    const uke = {
      name: 'Ukulele',
      tuning: ['A4', 'E4', 'C4', 'G4'].map((t) => ({
        letter: t[0] as 'A',
        alter: 0 as const,
        octave: 4,
      })),
      frets: 12,
    };
    const p = build('q 3/0 3/2 3/4 3/0 | 1/8 1/10 1/12 1/8', {
      key: 'C',
      chords: 'C7 | C7',
      instrument: uke,
    });
    const m = moved(p, toLane(p, 'B7 | Db7'));
    expect(shifts(m)).toEqual([11, -11]);
    expect(said(m).join('\n')).toMatch(
      /M7: C7 to B7 goes up 11 semitones, not down 1 semitone: the instrument ends there\nM7: the line parts before C7 to D♭7, which goes down 11 semitones, not up 1/u,
    );
  });

  it('a degree that takes the name of the row across the root stays in its octave', () => {
    // ♯7 of E♭7 sounds its R, ♭R of G7 a semitone below it: up a fourth, or down one, with the rest.
    const sharp = quick('[Eb blues] {Eb7} q 4:8 3:8;D# 4:10 3:5');
    expect(pitches(moved(sharp, toChord(sharp, 'Abm7')))).toEqual(['Eb4', 'Ab4', 'F4', 'F4']);
    const flat = quick('[C blues] {G7} q 3:12 3:11;Gb 3:9 3:7');
    expect(pitches(moved(flat, toChord(flat, 'Dmaj7')))).toEqual(['D4', 'C#4', 'B3', 'A3']);
  });

  it.each(['Uneven Gangway', 'Third Rung', 'Lifeboat Sunday'])(
    '%s over IV7 as a whole is one line',
    (title) => {
      const p = readSamples().find((s) => s.phrase.meta.title === title)!.phrase;
      for (const octave of ['nearest', 'up', 'down'] as const) {
        const r = movePhrase(p, { to: toChord(p, 'IV7'), octave });
        expect(r.ok, octave).toBe(true);
        if (!r.ok) continue;
        const s = shifts(r.value);
        for (const [i, x] of s.slice(1).entries())
          expect(Math.abs(x - s[i]!), `${octave}: ${s.join(' ')}`).toBeLessThan(12);
        const verdict = judgeOctaves(p, r.value, 'chord', octave);
        const fell = r.value.report.general.some((a) => a.rule === 'M7' && a.fallback);
        if (verdict !== null && !fell) expect(verdict.chosen).toEqual(verdict.best);
      }
    },
  );
});
