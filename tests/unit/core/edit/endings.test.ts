import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { runCommand } from '../../../../src/core/edit/run';
import { type EditState, startEditing } from '../../../../src/core/edit/state';
import { commandOf } from '../../../../src/core/edit/table';
import type { Bar } from '../../../../src/core/phrase/types';
import { checkPhrase } from '../../../../src/core/validity/check-phrase';
import { build } from '../../../support/build';

const BAR = 40_320;

/** Six bars of a note each, with what is read on the page: `|: . [1 :| [2 .`, a word a bar. */
function form(page: string): EditState {
  const words = page.split(/\s{2,}/u);
  const line = words.map((_, i) => `w 3/${i + 1}`).join(' | ');
  const bars = words.map((word): Bar => {
    const ending = /\[([\d,]+)/u.exec(word)?.[1]?.split(',').map(Number);
    const times = /:\|(\d?)/u.exec(word);
    return {
      meter: { beats: 4, beatType: 4 },
      ...(word.includes('|:') ? { repeatStart: true as const } : {}),
      ...(times === null ? {} : { repeatEnd: Number(times[1] || 2) }),
      ...(ending === undefined ? {} : { ending }),
    };
  });
  return startEditing({ ...build(line), bars });
}

/** The bars as they are read on the page. */
function page(s: EditState): string {
  return s.phrase.bars
    .map((b) => {
      const times = b.repeatEnd === undefined || b.repeatEnd === 2 ? '' : b.repeatEnd;
      const parts = [
        b.repeatStart ? '|:' : '',
        b.ending === undefined ? '' : `[${b.ending.join(',')}`,
        b.repeatEnd === undefined ? '' : `:|${times}`,
      ].filter((x) => x !== '');
      return parts.length === 0 ? '.' : parts.join(' ');
    })
    .join('  ');
}

/** The writer with bars from one to another chosen. */
function at(s: EditState, from: number, to = from): EditState {
  const cell = (bar: number) => ({ onset: (bar - 1) * BAR, string: 3 });
  const corner = from === to ? null : cell(from);
  return { ...s, selection: { ...s.selection, cursor: cell(to), corner } };
}

function ask(s: EditState, id: string, value?: unknown) {
  return runCommand(s, commandOf(id)!, value);
}

function run(s: EditState, id: string, value?: unknown): { page: string; say: string } {
  const outcome = ask(s, id, value);
  if (outcome.kind !== 'done') throw new Error(outcome.because);
  expect(checkPhrase(outcome.state.phrase)).toEqual([]);
  return { page: page(outcome.state), say: outcome.say };
}

const because = (s: EditState, id: string, value?: unknown) => {
  const outcome = ask(s, id, value);
  return outcome.kind === 'done' ? null : outcome.because;
};

const ending = (s: EditState, value: string) => run(s, 'bar.ending', value).page;

describe('a first ending', () => {
  it('at the end of a repeat closes it, and the bar that follows is the second', () => {
    const { page: now, say } = run(at(form('|:  .  :|  .'), 3), 'bar.ending', '1');
    expect(now).toBe('|:  .  [1 :|  [2');
    expect(say).toBe('ending 1 over bar 3, ending 2 over bar 4');
  });

  it('inside a repeat lets it close there, and says so', () => {
    const { page: now, say } = run(at(form('|:  .  .  :|  .'), 2), 'bar.ending', '1');
    expect(now).toBe('|:  [1 :|  [2  .  .');
    expect(say).toBe(
      'ending 1 over bar 2, ending 2 over bar 3; the repeat ends no more with bar 4',
    );
  });

  it('makes a repeat from the beginning where there is none, over several bars too', () => {
    expect(ending(at(form('.  .  .  .'), 2, 3), '1')).toBe('.  [1  [1 :|  [2');
    expect(ending(at(form(':|  .  .  .'), 3), '1')).toBe(':|  .  [1 :|  [2');
    expect(ending(at(form('.  .  .  |:  :|'), 2), '1')).toBe('.  [1 :|  [2  |:  :|');
  });

  it('keeps how often the repeat is played', () => {
    expect(ending(at(form('|:  :|3  .'), 2), '1')).toBe('|:  [1,2 :|3  [3');
  });

  it('grows over bars before it, and over the second', () => {
    expect(ending(at(form('|:  .  [1 :|  [2  .'), 2), '1')).toBe('|:  [1  [1 :|  [2  .');
    expect(ending(at(form('|:  .  [1 :|  [2  .'), 4), '1')).toBe('|:  .  [1  [1 :|  [2');
  });

  it('needs a bar to repeat before it and a bar that follows', () => {
    expect(because(at(form('|:  :|  .'), 1), 'bar.ending', '1')).toBe(
      'an ending has no bars before it to repeat',
    );
    expect(because(at(form('|:  :|'), 2), 'bar.ending', '1')).toBe(
      'no bar follows that could be ending 2: put in an empty one first',
    );
    expect(because(at(form('|:  :|  |:  :|'), 2), 'bar.ending', '1')).toBe(
      'a repeat begins with bar 3, which would be ending 2',
    );
  });

  it('takes no other repeat away', () => {
    expect(because(at(form('.  .  :|  .'), 2, 4), 'bar.ending', '1')).not.toBeNull();
    expect(because(at(form('|:  .  .  [1 :|  [2'), 2), 'bar.ending', '1')).toBe(
      'the repeat has endings already, from bar 4 on',
    );
    expect(because(at(form('|:  [1 :|  [2  :|  .'), 3), 'bar.ending', '1')).toBe(
      'a repeat ends with bar 4, which would be under an ending',
    );
    expect(because(at(form('|:  .  :|  |:  :|'), 3, 4), 'bar.ending', '1')).toBe(
      'a repeat ends with bar 3, which would be under an ending',
    );
    expect(because(at(form('|:  .  .  |:  :|'), 3, 4), 'bar.ending', '1')).toBe(
      'a repeat starts under an ending',
    );
  });

  it('is not given twice', () => {
    expect(because(at(form('|:  [1 :|  [2'), 2), 'bar.ending', '1')).toBe(
      'bar 2 is under ending 1 already',
    );
    expect(because(at(form('|:  [1  [1 :|  [2'), 2, 3), 'bar.ending', '1')).toBe(
      'bars 2 to 3 are under ending 1 already',
    );
  });
});

describe('a second ending and more', () => {
  it('after a repeat makes the bar before the first', () => {
    expect(ending(at(form('|:  :|  .  .'), 3, 4), '2')).toBe('|:  [1 :|  [2  [2');
    expect(ending(at(form('|:  .  :|'), 3), '2')).toBe('|:  [1 :|  [2');
    expect(ending(at(form('|:  .  :|3  .'), 4), '2')).toBe('|:  .  [1,2 :|3  [3');
  });

  it('grows, shrinks the first, and is followed by a third, with the repeats where they belong', () => {
    const two = form('|:  .  [1  [1 :|  [2  .');
    expect(ending(at(two, 6), '2')).toBe('|:  .  [1  [1 :|  [2  [2');
    expect(ending(at(two, 4), '2')).toBe('|:  .  [1 :|  [2  [2  .');
    expect(ending(at(two, 6), '3')).toBe('|:  .  [1  [1 :|3  [2 :|3  [3');
  });

  it('has no gap before its number', () => {
    expect(because(at(form('|:  [1 :|  [2  .'), 4), 'bar.ending', '4')).toBe(
      'the ending is numbered 4 where 3 is due',
    );
    expect(because(at(form('|:  :|  .'), 3), 'bar.ending', '3')).toBe(
      'an ending has no bars before it to repeat',
    );
  });

  it('takes no repeat of its own away', () => {
    expect(because(at(form('|:  :|  .  :|'), 3, 4), 'bar.ending', '2')).toBe(
      'a repeat ends with bar 4, which would be under an ending',
    );
  });
});

describe('no ending', () => {
  it('leaves the repeat that the first ending closed with', () => {
    const { page: now, say } = run(at(form('|:  [1 :|  [2  .'), 3), 'bar.ending', 'none');
    expect(now).toBe('|:  :|  .  .');
    expect(say).toBe('endings taken off');
    expect(ending(at(form('|:  [1  [1 :|3  [2 :|3  [3'), 1, 2), 'none')).toBe('|:  .  :|3  .  .');
    expect(because(at(form('|:  :|'), 2), 'bar.ending', 'none')).toBe('the bar is under no ending');
  });

  it('is the way back from a pair at the end of a repeat', () => {
    const before = form('|:  .  :|  .');
    const made = ask(at(before, 3), 'bar.ending', '1');
    if (made.kind !== 'done') throw new Error(made.because);
    const back = ask(made.state, 'bar.ending', 'none');
    expect(back.kind === 'done' && back.state.phrase).toEqual(before.phrase);
  });
});

describe('bars put in and taken out under endings', () => {
  it('go under the ending of this bar between two', () => {
    const two = form('|:  [1 :|  [2  .');
    expect(run(at(two, 2), 'bar.insert', 'after').page).toBe('|:  [1  [1 :|  [2  .');
    expect(run(at(two, 3), 'bar.insert', 'before').page).toBe('|:  [1 :|  [2  [2  .');
    expect(run(at(two, 2), 'bar.insert', 'before').page).toBe('|:  .  [1 :|  [2  .');
    expect(run(at(two, 3), 'bar.insert', 'after').page).toBe('|:  [1 :|  [2  .  .');
  });

  it('leave the repeat to the bar before', () => {
    const long = form('|:  [1  [1 :|  [2  .');
    expect(run(at(long, 3), 'bar.delete').page).toBe('|:  [1 :|  [2  .');
    expect(run(at(long, 2), 'bar.delete').page).toBe('|:  [1 :|  [2  .');
  });

  it('are not taken out where an ending would be alone', () => {
    const two = form('|:  [1 :|  [2  .');
    expect(because(at(two, 2), 'bar.delete')).toBe(
      'ending 1 would be gone: take the endings off first',
    );
    expect(because(at(two, 3), 'bar.delete')).toBe(
      'ending 2 would be gone: take the endings off first',
    );
    expect(because(at(two, 1), 'bar.delete')).toBe('an ending has no bars before it to repeat');
    expect(run(at(two, 1, 3), 'bar.delete').page).toBe('.');
  });
});

describe('any endings by any order of commands', () => {
  it('read back as they are written, valid, with the music as it was', () => {
    const arbStep = fc.record({
      bar: fc.integer({ min: 1, max: 6 }),
      more: fc.integer({ min: 0, max: 2 }),
      what: fc.constantFrom(
        ['bar.ending', '1'],
        ['bar.ending', '2'],
        ['bar.ending', '3'],
        ['bar.ending', 'none'],
        ['bar.repeat', 'start'],
        ['bar.repeat', 'end'],
        ['bar.repeat', 'none'],
      ),
    });
    let given = 0;
    fc.assert(
      fc.property(fc.array(arbStep, { maxLength: 12 }), (steps) => {
        const first = form('.  .  .  .  .  .');
        let s = first;
        for (const { bar, more, what } of steps) {
          const outcome = ask(at(s, bar, Math.min(6, bar + more)), what[0]!, what[1]);
          if (outcome.kind !== 'done') continue;
          s = outcome.state;
          expect(checkPhrase(s.phrase)).toEqual([]);
          expect(form(page(s)).phrase.bars).toEqual(s.phrase.bars);
          const index = bar - 1;
          if (what[0] === 'bar.ending') {
            given++;
            const passes = s.phrase.bars.slice(index, index + more + 1).map((b) => b.ending);
            const named = what[1] !== 'none';
            expect(passes.every((x) => (x !== undefined) === named)).toBe(true);
          }
        }
        expect({ ...s.phrase, bars: first.phrase.bars }).toEqual(first.phrase);
      }),
      { numRuns: 400, seed: 20_261_126 },
    );
    expect(given).toBeGreaterThan(200);
  });
});
