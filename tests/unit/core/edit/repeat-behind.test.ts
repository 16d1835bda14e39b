import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { runCommand } from '../../../../src/core/edit/run';
import { type EditState, FIRST_PEN, startEditing } from '../../../../src/core/edit/state';
import { commandOf } from '../../../../src/core/edit/table';
import { barSpans } from '../../../../src/core/phrase/time';
import type { Phrase } from '../../../../src/core/phrase/types';
import { checkPhrase } from '../../../../src/core/validity/check-phrase';
import { arbPhrase } from '../../../support/arbitrary';
import { build } from '../../../support/build';
import { chosen, cursorOn } from '../../../support/technique';

function repeat(s: EditState): { readonly phrase: Phrase; readonly say: string } {
  const outcome = runCommand(s, commandOf('take.repeat')!);
  if (outcome.kind !== 'done') throw new Error(outcome.because);
  expect(checkPhrase(outcome.state.phrase)).toEqual([]);
  return { phrase: outcome.state.phrase, say: outcome.say };
}

const why = (s: EditState) => {
  const outcome = runCommand(s, commandOf('take.repeat')!);
  return outcome.kind === 'done' ? null : outcome.because;
};

/** The music without ids and titles. */
function music(p: Phrase) {
  return {
    bars: p.bars,
    length: p.length,
    chords: p.chords,
    marks: p.marks,
    voices: p.voices.map((v) => ({
      tuplets: v.tuplets,
      events: v.events.map((e) => ({ ...e, notes: e.notes.map(({ id, ...rest }) => rest) })),
    })),
  };
}

describe('what is chosen, or this bar, once more behind itself', () => {
  it('repeats the bar under the cursor with its chords, and moves on what comes later', () => {
    const p = build('e 3/5 3/7 q 2/5 h - | w 3/9', { chords: 'A7 D7 | E7' });
    const { phrase, say } = repeat(cursorOn(p, 3));
    expect(say).toBe('bar 1 repeated');
    expect(music(phrase)).toEqual(
      music(
        build('e 3/5 3/7 q 2/5 h - | e 3/5 3/7 q 2/5 h - | w 3/9', {
          chords: 'A7 D7 | A7 D7 | E7',
        }),
      ),
    );
  });

  it('goes into empty bars of the same metre where the form is laid out already', () => {
    const form = { chords: 'A7 | D7 | E7' };
    const { phrase, say } = repeat(cursorOn(build('q 3/5 h. - | w - | w 3/9', form), 3));
    expect(say).toBe('bar 1 repeated, into empty bars');
    expect(music(phrase)).toEqual(music(build('q 3/5 h. - | q 3/5 h. - | w 3/9', form)));
  });

  it('says no chord again that goes on sounding', () => {
    const p = build('q 3/5 h. - | w 3/9', { chords: 'A7 | E7' });
    expect(repeat(cursorOn(p, 3)).phrase.chords.map((c) => c.symbol)).toEqual(['A7', 'E7']);
  });

  it('repeats chosen bars as bars, and part of a bar behind its last note', () => {
    const two = build('q 3/5 h. - | q 3/7 h. - | w 3/9', { chords: 'A7 | D7 | E7' });
    expect(music(repeat(chosen(two, 0, 1)).phrase)).toEqual(
      music(
        build('q 3/5 h. - | q 3/7 h. - | q 3/5 h. - | q 3/7 h. - | w 3/9', {
          chords: 'A7 | D7 | A7 | D7 | E7',
        }),
      ),
    );
    const part = build('e 3/5 3/7 q - h -');
    expect(music(repeat(chosen(part, 0, 1)).phrase)).toEqual(music(build('e 3/5 3/7 3/5 3/7 h -')));
  });

  it('goes over what is there or pushes it on, as the pen is set, and says what is gone', () => {
    const p = build('e 3/5 3/7 q 2/5 2/6 -');
    expect(repeat(chosen(p, 0, 1)).say).toBe('repeated; what stood there is gone');
    const push = { ...chosen(p, 0, 1), pen: { ...FIRST_PEN, flow: 'push' as const } };
    expect(music(repeat(push).phrase)).toEqual(music(build('e 3/5 3/7 3/5 3/7 q 2/5 2/6')));
  });

  it('takes off the copy what needs a note before it, and says so', () => {
    const p = build('w 3/5 | h 3/7(h) 3/9');
    const { phrase, say } = repeat(cursorOn(p, 3, 1));
    expect(say).toBe('bar 2 repeated; hammer-on, pull-off or slide taken off the copy');
    expect(music(phrase)).toEqual(music(build('w 3/5 | h 3/7(h) 3/9 | h 3/7 3/9')));
  });

  it('says why it cannot', () => {
    expect(why(startEditing(build('w -')))).toBe(
      'there is no note to repeat: put in an empty bar instead',
    );
    expect(why(cursorOn(build('q 3/5 | w 3/7', { pickup: 10_080 }), 3))).toBe(
      'the pickup is not repeated by itself: choose its notes',
    );
  });

  it('makes of any bar of any phrase the same bar again, each note where it was', () => {
    let tried = 0;
    fc.assert(
      fc.property(arbPhrase(), fc.nat(), (p, n) => {
        const bars = barSpans(p).filter((b) => b.number > 0);
        const bar = bars[n % bars.length]!;
        const s = startEditing(p);
        const cursor = { onset: bar.start, string: 1 };
        const outcome = runCommand(
          { ...s, selection: { ...s.selection, cursor } },
          commandOf('take.repeat')!,
        );
        if (outcome.kind !== 'done') return;
        tried++;
        const after = outcome.state.phrase;
        const inBar = (q: Phrase, start: number) =>
          q.voices.map((v) =>
            v.events
              .filter((e) => e.onset >= start && e.onset < start + bar.end - bar.start)
              .map((e) => [e.onset - start, e.notes.map((m) => [m.string, m.fret])]),
          );
        expect(
          inBar(after, barSpans(after).find((b) => b.number === bar.number + 1)!.start),
        ).toEqual(inBar(p, bar.start));
        expect([p.bars.length, p.bars.length + 1]).toContain(after.bars.length);
      }),
      { numRuns: 150 },
    );
    expect(tried).toBeGreaterThan(60);
  });
});
