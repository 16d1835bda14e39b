import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { runCommand } from '../../../../src/core/edit/run';
import { type EditState, FIRST_PEN, startEditing } from '../../../../src/core/edit/state';
import { commandOf } from '../../../../src/core/edit/table';
import { ratioText } from '../../../../src/core/phrase/tuplet-ratio';
import { TUPLET_RATIOS } from '../../../../src/core/phrase/tuplet-ratios';
import type { Phrase } from '../../../../src/core/phrase/types';
import { build } from '../../../support/build';

const EIGHTH = 5_040;

function ask(s: EditState, value: string, id = 'length.tuplet') {
  return runCommand(s, commandOf(id)!, value);
}

function run(s: EditState, value: string, id?: string): EditState {
  const outcome = ask(s, value, id);
  if (outcome.kind !== 'done') throw new Error(outcome.because);
  return outcome.state;
}

/** The phrase with everything chosen that begins from one tick up to another. */
function choose(phrase: Phrase, from: number, to: number, flow: 'over' | 'push' = 'over') {
  const s = startEditing(phrase, { ...FIRST_PEN, flow });
  return {
    ...s,
    selection: {
      ...s.selection,
      corner: { onset: from, string: 1 },
      cursor: { onset: to, string: 6 },
    },
  };
}

const times = (s: EditState) => s.phrase.voices[0].events.map((e) => [e.onset, e.duration]);

describe('tuplets of what is chosen', () => {
  const line = build('e 3/5 3/7 3/9 3/5 q 3/7 -', { chords: 'C7' });

  it('turn three eighths into a triplet of a quarter, what follows in its place', () => {
    const s = run(choose(line, 0, 2 * EIGHTH), '3');
    expect(times(s)).toEqual([
      [0, 3_360],
      [3_360, 3_360],
      [6_720, 3_360],
      [3 * EIGHTH, EIGHTH],
      [4 * EIGHTH, 2 * EIGHTH],
    ]);
    expect(s.phrase.voices[0].tuplets).toEqual([
      { onset: 0, duration: 2 * EIGHTH, actual: 3, normal: 2 },
    ]);
    // The pen is for what is written next, and nothing is.
    expect(s.pen.tuplet).toBeNull();
  });

  it('let what follows move up where the pen pushes', () => {
    const s = run(choose(line, 0, 2 * EIGHTH, 'push'), '3');
    expect(times(s).slice(3)).toEqual([
      [2 * EIGHTH, EIGHTH],
      [3 * EIGHTH, 2 * EIGHTH],
    ]);
  });

  it('are several where several are filled, with long notes and rests in them', () => {
    const six = build('e 3/5 3/7 3/9 q 3/5 e 3/7', { chords: 'C7' });
    const s = run(choose(six, 0, 5 * EIGHTH), '3');
    expect(s.phrase.voices[0].tuplets.map((t) => [t.onset, t.duration])).toEqual([
      [0, 10_080],
      [10_080, 10_080],
    ]);
    const rests = build('e 3/5 - 3/9', { chords: 'C7' });
    expect(times(run(choose(rests, 0, 2 * EIGHTH), '3'))).toEqual([
      [0, 3_360],
      [6_720, 3_360],
    ]);
  });

  it('are refused where the group is not whole, with the reason', () => {
    const why = (s: EditState, value: string) => {
      const outcome = ask(s, value);
      return outcome.kind === 'done' ? outcome.say : outcome.because;
    };
    const short = 'the chosen notes do not fill a triplet: together they must last 3 equal values';
    expect(why(choose(line, 0, EIGHTH), '3')).toBe(short);
    expect(why(choose(line, 0, 0), '3')).toBe(short);
    expect(why(choose(line, 0, 2 * EIGHTH), 'none')).toBe(
      'the chosen notes have plain values already',
    );
    const triplet = run(choose(line, 0, 2 * EIGHTH), '3');
    expect(why(triplet, '3')).toBe('the chosen notes are in triplets already');
    expect(why(triplet, '5')).toBe(
      'a chosen note is in another tuplet: give it plain values first',
    );
    expect(why(choose(triplet.phrase, 0, 3_360), 'none')).toBe(
      'whole tuplets and nothing else must be chosen',
    );
    const late = build('q 3/5 3/7 3/9 e 3/5 3/7 | e 3/5 3/7 q -', { chords: 'C7 | C7' });
    expect(why(choose(late, 7 * EIGHTH, 9 * EIGHTH), '3')).toBe(
      'a triplet would reach over a bar line',
    );
    // A 32nd of eight in the time of three would last 472.5 ticks.
    const fine = build('e 3/5 3/7 3/5 3/7 3/5 3/7 3/5 t 3/5 3/7 3/5 3/7', { chords: 'C7' });
    const eight = ask(choose(fine, 0, 8 * EIGHTH), '8:3', 'length.ratio');
    expect(eight.kind === 'done' ? eight.say : eight.because).toBe(
      'a chosen note is too short for a tuplet 8:3, whose shortest value is a 16th',
    );
  });

  it('of any ratio are written on, the pen taking values that fall on ticks', () => {
    const empty = startEditing(build('w -', { chords: 'C7' }));
    const seven = run(empty, '7:3', 'length.ratio');
    expect(seven.pen.tuplet).toEqual({ actual: 7, normal: 3 });
    const digit = runCommand(seven, commandOf('write.fret')!, '5');
    if (digit.kind !== 'done') throw new Error(digit.because);
    expect(digit.state.phrase.voices[0].tuplets).toEqual([
      { onset: 0, duration: 3 * EIGHTH, actual: 7, normal: 3 },
    ]);
    expect(digit.state.phrase.voices[0].events[0]?.duration).toBe(2_160);
    const why = (s: EditState, value: string, id: string) => {
      const outcome = ask(s, value, id);
      return outcome.kind === 'done' ? outcome.say : outcome.because;
    };
    expect(why(empty, '11:8', 'length.ratio')).toContain("'11:8' is no tuplet that can be written");
    expect(why(seven, '7:3', 'length.ratio')).toBe('what is written next is so already');
    const fours = run(empty, '4');
    expect(why(fours, '64th', 'length.value')).toBe('a 64th is too short for a quadruplet');
    expect(why(run(empty, '128th', 'length.value'), '4', 'length.tuplet')).toBe(
      'a 128th is too short for a quadruplet',
    );
  });

  it('and plain values again give the phrase back, whatever the ratio', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...TUPLET_RATIOS),
        fc.constantFrom('e', 's'),
        fc.constantFrom<'over' | 'push'>('over', 'push'),
        (ratio, letter, flow) => {
          const count = ratio.actual;
          // The tuplet has room in its bar.
          fc.pre(ratio.normal <= (letter === 'e' ? 8 : 16));
          const notes = Array.from({ length: count }, (_, i) => `3/${i + 1}`).join(' ');
          const rests = letter === 'e' ? '' : ' e -';
          const p = build(`${letter} ${notes}${rests}`, { chords: 'C7 | C7 | C7', bars: 3 });
          const part = letter === 'e' ? EIGHTH : EIGHTH / 2;
          const chosen = choose(p, 0, (count - 1) * part, flow);
          const there = run(chosen, ratioText(ratio), 'length.ratio');
          expect(there.phrase.voices[0].tuplets).toMatchObject([ratio]);
          expect(run(there, 'none').phrase).toEqual(chosen.phrase);
        },
      ),
    );
  });
});
