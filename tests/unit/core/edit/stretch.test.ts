import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { runCommand } from '../../../../src/core/edit/run';
import { type EditState, startEditing } from '../../../../src/core/edit/state';
import { commandOf } from '../../../../src/core/edit/table';
import type { Phrase } from '../../../../src/core/phrase/types';
import { arbPhrase } from '../../../support/arbitrary';
import { build } from '../../../support/build';

const EIGHTH = 5_040;

function ask(s: EditState, way: 'double' | 'halve') {
  return runCommand(s, commandOf('move.stretch')!, way);
}

function run(s: EditState, way: 'double' | 'halve'): EditState {
  const outcome = ask(s, way);
  if (outcome.kind !== 'done') throw new Error(outcome.because);
  return outcome.state;
}

function choose(p: Phrase, from: number, to: number, bottom = 6): EditState {
  const s = startEditing(p);
  const corner = { onset: from, string: 1 };
  return { ...s, selection: { ...s.selection, corner, cursor: { onset: to, string: bottom } } };
}

const times = (s: EditState) =>
  s.phrase.voices[0].events.map((e) => [e.onset / EIGHTH, e.duration / EIGHTH]);

describe('twice as slow and twice as fast', () => {
  it('takes the rests inside the choice along, and moves what follows', () => {
    const p = build('e 3/5 - - 3/7 e 3/9 - q -', { chords: 'C7' });
    expect(times(run(choose(p, 0, 3 * EIGHTH), 'double'))).toEqual([
      [0, 2],
      [6, 2],
      [8, 1],
    ]);
    expect(times(run(choose(p, 0, 3 * EIGHTH), 'halve'))).toEqual([
      [0, 0.5],
      [1.5, 0.5],
      [2, 1],
    ]);
  });

  it('takes whole tuplets along, their rests too', () => {
    const p = build('e3 - 3/5 3/7 q 3/9 h -', { chords: 'C7' });
    const slow = run(choose(p, 3_360, 10_080), 'double');
    expect(slow.phrase.voices[0].tuplets).toEqual([
      { onset: 0, duration: 20_160, actual: 3, normal: 2 },
    ]);
    expect(times(slow)[0]).toEqual([4 / 3, 4 / 3]);
    expect(times(slow)[2]).toEqual([4, 4]);
    expect(ask(choose(p, 6_720, 10_080), 'double')).toMatchObject({
      because: 'a tuplet must be chosen whole',
    });
  });

  it('is refused where a tuplet would no longer lie in one bar', () => {
    const p = build('h - e3 3/5 3/7 3/9 q3 3/5 e3 3/7 | w -', { chords: 'C7 | C7' });
    expect(ask(choose(p, 20_160, 40_319), 'double').kind).toBe('done');
    const late = build('h. - e3 3/5 3/7 3/9 | w -', { chords: 'C7 | C7' });
    expect(ask(choose(late, 30_240, 40_319), 'double')).toEqual({
      kind: 'not applicable',
      because: 'the tuplet reaches over the end of its bar',
    });
  });

  it('is refused where notes on other strings lie among the chosen ones', () => {
    const p = build('q 1/5 5/3 1/7 -', { chords: 'C7' });
    expect(ask(choose(p, 0, 20_160, 2), 'double')).toMatchObject({
      because: 'there are other notes among the chosen ones',
    });
  });

  it('says truly what cannot be halved', () => {
    const p = build('t 3/5 3/7 q -', { chords: 'C7' });
    const short = { kind: 'not applicable', because: 'it would need values shorter than a 128th' };
    const once = run(choose(p, 0, 1_260), 'halve');
    const twice = run(once, 'halve');
    // 32nd, 64th, 128th.
    expect(times(twice)[0]).toEqual([0, 315 / EIGHTH]);
    expect(ask(twice, 'halve')).toEqual(short);
    const { voices } = twice.phrase;
    const [event] = voices[0].events;
    // A dotted 64th would need a 256th, though half of it is longer than a 128th.
    const dotted: Phrase = {
      ...twice.phrase,
      voices: [{ events: [{ ...event!, duration: 945 }], tuplets: [] }],
    };
    expect(ask(choose(dotted, 0, 0), 'halve')).toEqual(short);
  });

  it('gives back what stood there, one after the other', () => {
    let both = 0;
    fc.assert(
      fc.property(arbPhrase(), fc.nat(), fc.nat(), (p, a, b) => {
        const { events } = p.voices[0];
        if (events.length === 0) return;
        const [from, to] = [a % events.length, b % events.length].sort((x, y) => x - y);
        const s = choose(p, events[from!]!.onset, events[to!]!.onset, p.instrument.tuning.length);
        const slow = ask(s, 'double');
        // What gives way to a later bar line is named, and is not brought back.
        if (slow.kind !== 'done' || slow.say.includes('taken off')) return;
        const back = ask(slow.state, 'halve');
        if (back.kind !== 'done') throw new Error(back.because);
        both++;
        expect(withoutGuess(back.state.phrase).voices).toEqual(withoutGuess(p).voices);
        expect(back.state.selection).toEqual(s.selection);
      }),
      { numRuns: 300, seed: 7 },
    );
    expect(both).toBeGreaterThan(100);
  });

  function withoutGuess(p: Phrase): Phrase {
    return JSON.parse(JSON.stringify(p), (key, value) => (key === 'guessed' ? undefined : value));
  }
});
