import { describe, expect, it } from 'vitest';
import { runCommand } from '../../../../src/core/edit/run';
import { commandOf } from '../../../../src/core/edit/table';
import { openMidi } from '../../../../src/core/phrase/instrument';
import type { PitchedNote } from '../../../../src/core/phrase/types';
import { midiOf } from '../../../../src/core/theory/pitch';
import { build } from '../../../support/build';
import { press } from '../../../support/edit';
import { chosen, cursorOn, ordered, refusal, refusalOfKey } from '../../../support/technique';

const c7 = (line: string) => build(line, { chords: 'C7' });
const start = cursorOn(c7('w 3/12'), 3);

/**
 * Where a vibrating string of length 1 has the nodes of its mth partial: at k/m from the nut, for k
 * and m without a common divisor, since k/m = 2/4 is a node of the second partial already. The
 * partial sounds m times as high: 12 · log2(m) semitones above the open string, to the nearest.
 */
function nodesOfPhysics(): { at: number; above: number }[] {
  return [2, 3, 4].flatMap((m) =>
    Array.from({ length: m - 1 }, (_, i) => i + 1)
      .filter((k) => k === 1 || m % k !== 0)
      .map((k) => ({ at: k / m, above: Math.round(12 * Math.log2(m)) })),
  );
}

/** Distance of a fret from the nut, as a part of the string (equal temperament). */
const fretAt = (fret: number) => 1 - 2 ** (-fret / 12);

/** What lies over a fret by the two formulas alone: within 1 % of the string's length of a node. */
function aboveByPhysics(fret: number): number | null {
  const near = nodesOfPhysics().filter((n) => Math.abs(n.at - fretAt(fret)) < 0.01);
  expect(near.length).toBeLessThanOrEqual(1);
  return near[0]?.above ?? null;
}

describe('natural harmonics against the physics of the string', () => {
  it('finds the nodes of the halves, thirds and quarters where the trade has them', () => {
    const found = Array.from({ length: 25 }, (_, fret) => [fret, aboveByPhysics(fret)]);
    // Frets 12, 7 and 19, 5 and 24 (common practice), by the octave, its fifth and the second octave.
    expect(found.filter(([, above]) => above !== null)).toEqual([
      [5, 24],
      [7, 19],
      [12, 12],
      [19, 19],
      [24, 24],
    ]);
  });

  it.each([0, 3])('on every string and fret, capo at %i', (capo) => {
    const instrument = { frets: 24 + capo, capo };
    for (let string = 1; string <= 6; string++) {
      for (let fret = 0; fret <= 24; fret++) {
        const p = build(`w ${string}/${fret}`, { chords: 'C7', instrument });
        const outcome = runCommand(cursorOn(p, string), commandOf('hand.harmonic')!, 'natural');
        const above = aboveByPhysics(fret);
        if (outcome.kind !== 'done') {
          expect([string, fret, above]).toEqual([string, fret, null]);
          expect(outcome.because).toBe('natural harmonics lie over frets 5, 7, 12, 19, 24');
          continue;
        }
        const note = outcome.state.phrase.voices[0].events[0]!.notes[0] as PitchedNote;
        expect([note.fret, note.harmonic]).toEqual([fret, { kind: 'natural', above }]);
        expect(midiOf(note.pitch)).toBe(openMidi(p.instrument, string) + above!);
      }
    }
  });
});

describe('harmonics on and off', () => {
  it('n makes the natural one and gives the stopped note back', () => {
    expect(press(start, 'o').phrase).toEqual(c7('w 3/12(nat:12)'));
    expect(press(start, 'o', 'o').phrase).toEqual(start.phrase);
    // Fret 7 of the G string stops D4 and sounds D5 as a harmonic: G3 and 19 semitones.
    const seven = cursorOn(c7('w 3/7'), 3);
    expect(press(seven, 'o').phrase).toEqual(c7('w 3/7=D5(nat:19)'));
    expect(press(seven, 'o', 'o').phrase).toEqual(seven.phrase);
  });

  it('over a double stop and a range, all or nothing', () => {
    expect(press(chosen(c7('h 3/12+2/12 1/7')), 'o').phrase).toEqual(
      c7('h 3/12(nat:12)+2/12(nat:12) 1/7(nat:19)'),
    );
    const mixed = chosen(c7('h 2/12(nat:12) 1/7'));
    expect(press(mixed, 'o').phrase).toEqual(c7('h 2/12(nat:12) 1/7=B5(nat:19)'));
    expect(press(mixed, 'o', 'o').phrase).toEqual(c7('h 2/12 1/7'));
    expect(refusalOfKey(chosen(c7('h 3/12+2/12 1/8')), 'o')).toBe(
      'natural harmonics lie over frets 5, 7, 12, 19, 24',
    );
  });

  it.each([
    ['artificial', 'art'],
    ['pinch', 'pinch'],
  ])('%s: the octave above what is stopped; the same again takes it off', (kind, written) => {
    const done = ordered(start, 'hand.harmonic', kind);
    expect(done.phrase).toEqual(c7(`w 3/12(${written}:12)`));
    expect(ordered(done, 'hand.harmonic', kind).phrase).toEqual(start.phrase);
    expect(ordered(done, 'hand.harmonic', 'none').phrase).toEqual(start.phrase);
    expect(ordered(done, 'hand.harmonic', 'natural').phrase).toEqual(c7('w 3/12(nat:12)'));
  });

  it('leaves a bend on what is still stopped, and takes it off what is touched', () => {
    const bent = press(start, 'B');
    expect(ordered(bent, 'hand.harmonic', 'pinch').phrase).toEqual(c7('w 3/12(bend:A4,pinch:12)'));
    expect(press(bent, 'o').phrase).toEqual(c7('w 3/12(nat:12)'));
    expect(press(start, 'v', 'o').phrase).toEqual(c7('w 3/12(nat:12)'));
  });

  it('refuses an artificial one over an open string and what needs a stopped note', () => {
    const open = cursorOn(c7('w 3/0'), 3);
    expect(refusal(open, 'hand.harmonic', 'artificial')).toBe(
      'over an open string it is a natural one',
    );
    const natural = press(start, 'o');
    const why = (id: string, value?: unknown) => refusal(natural, id, value);
    expect(why('hand.slide-in-next')).toBe(
      'a natural harmonic is touched, not stopped, and takes no slide-in',
    );
    expect(why('hand.slide-out-next')).toBe(
      'a natural harmonic is touched, not stopped, and takes no slide off',
    );
    expect(why('hand.vibrato-next')).toBe(
      'a natural harmonic is touched, not stopped, and takes no vibrato',
    );
    expect(why('hand.trill', 2)).toBe(
      'a natural harmonic is touched, not stopped, and takes no trill',
    );
    expect(why('hand.finger', '4')).toBe('no finger of the fretting hand presses it');
    expect(refusal(start, 'hand.harmonic', 'none')).toBe('it is no harmonic');
  });

  it('cannot be hammered', () => {
    const p = c7('h 3/5 3/12(nat:12)');
    expect(refusalOfKey(cursorOn(p, 3, 1), 'h')).toBe(
      'a natural harmonic cannot be reached by a hammer-on',
    );
  });
});
