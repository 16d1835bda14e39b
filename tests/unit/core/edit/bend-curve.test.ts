import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  addPoint,
  BEND_PLACES,
  bendHeights,
  type DrawnBend,
  drawBend,
  movePoint,
  type PointStep,
  removePoint,
  shapeOfEnds,
  stepPoint,
} from '../../../../src/core/edit/commands/bend-curve';
import { type History, NO_HISTORY, record, undo } from '../../../../src/core/edit/history';
import { runCommand } from '../../../../src/core/edit/run';
import { type EditState, startEditing } from '../../../../src/core/edit/state';
import { curveOfShape } from '../../../../src/core/phrase/bend-curve';
import type { BendPoint, PitchedNote } from '../../../../src/core/phrase/types';
import { notesOf } from '../../../../src/core/phrase/walk';
import { formatPitch } from '../../../../src/core/theory/pitch';
import { checkPhrase } from '../../../../src/core/validity/check-phrase';
import { build } from '../../../support/build';
import { press } from '../../../support/edit';

const SEED = 20_261_126;

/** A7: ♭7 (G4) on string 2 and 5 (E4) on string 3, struck together and bent, then a low note. */
const BENT = startEditing(
  build('h 2/8(bend:A4)+3/9(bend:F#4) q 6/5(bend:B2) q 3/5', { chords: 'A7' }),
);

function noteOn(s: EditState, string: number): PitchedNote {
  const found = notesOf(s.phrase).find(({ note }) => note.string === string)?.note;
  if (found?.kind !== 'pitched') throw new Error(`no pitch on string ${string}`);
  return found;
}

const points = (...pairs: readonly (readonly [number, number])[]): readonly BendPoint[] =>
  pairs.map(([at, amount]) => ({ at, amount }));

function draw(s: EditState, string: number, change: Partial<DrawnBend>): EditState {
  const note = noteOn(s, string);
  if (note.bend === undefined) throw new Error('it is not bent');
  const given = { note: note.id, curve: note.bend.curve, semitones: 2, ...change };
  const outcome = runCommand(s, drawBend, given);
  if (outcome.kind !== 'done') throw new Error(outcome.because);
  return outcome.state;
}

function refusal(s: EditState, string: number, change: Partial<DrawnBend>): string {
  try {
    draw(s, string, change);
  } catch (e) {
    if (e instanceof Error) return e.message;
  }
  return 'it was done';
}

describe('drawing a bend', () => {
  it('takes its shape from the ends of the curve', () => {
    const shapes = (['bend', 'bend-release', 'pre-bend', 'pre-bend-release'] as const).map(
      (shape) => {
        const curve = curveOfShape(shape);
        const drawn = draw(BENT, 2, { curve, semitones: 1 });
        expect(noteOn(drawn, 2).bend?.curve).toEqual(curve);
        return noteOn(drawn, 2).bend?.shape;
      },
    );
    expect(shapes).toEqual(['bend', 'bend-release', 'pre-bend', 'pre-bend-release']);
  });

  it('changes one string of a double stop and leaves the other', () => {
    const drawn = draw(BENT, 3, { curve: points([0, 0], [25, 100], [100, 100]) });
    expect(noteOn(drawn, 3).bend?.curve[1]).toEqual({ at: 25, amount: 100 });
    expect(noteOn(drawn, 2)).toBe(noteOn(BENT, 2));
  });

  it('names a new target by its chord, and keeps a name that was given to the old one', () => {
    const target = (s: EditState) => {
      const { bend } = noteOn(s, 2);
      return bend === undefined || bend.shape === 'curl' ? null : formatPitch(bend.target);
    };
    // Over A7: G4 a semitone up is the major seventh G♯, not A♭; three up is B♭ or A♯: ♭2 of A.
    expect(target(draw(BENT, 2, { semitones: 1 }))).toBe('G#4');
    expect(target(draw(BENT, 2, { semitones: 3 }))).toBe('Bb4');
    const named = startEditing(build('h 2/8(bend:G##4)', { chords: 'A7' }));
    const slower = points([0, 0], [75, 100], [100, 100]);
    expect(target(draw(named, 2, { curve: slower }))).toBe('G##4');
  });

  it('makes a curl of a quarter tone, which has no target, and a bend of a curl', () => {
    const curled = draw(BENT, 2, { semitones: 0.5 });
    expect(noteOn(curled, 2).bend).toEqual({ shape: 'curl', curve: curveOfShape('bend') });
    expect(noteOn(draw(curled, 2, { semitones: 2 }), 2).bend).toEqual(noteOn(BENT, 2).bend);
  });

  it('refuses with the reason what is no bend', () => {
    const release = curveOfShape('bend-release');
    expect([
      refusal(BENT, 2, { curve: points([0, 0], [100, 40]) }),
      refusal(BENT, 2, { curve: release, semitones: 0.5 }),
      refusal(BENT, 2, { semitones: 1.5 }),
      refusal(BENT, 2, { curve: points([0, 0], [50, 75], [100, 0]) }),
      refusal(BENT, 2, { curve: points([0, 0], [60, 100], [40, 0], [100, 0]) }),
      refusal(BENT, 2, { curve: points([0, 0], [50, 100]) }),
      refusal(BENT, 2, { curve: [] }),
      refusal(BENT, 2, {}),
      refusal(BENT, 2, { note: 'nobody' }),
      refusal(BENT, 2, { curve: points([0, 0], [100, 120]) }),
    ]).toEqual([
      'a bend begins and ends where it is fretted or at its target',
      'a curl rises from where it is fretted and ends a quarter tone up',
      'a bend rises whole semitones, or a quarter tone as a curl',
      'the bend never reaches its target',
      'the points of the bend are not ascending in time',
      'the curve of the bend does not cover the note',
      'a bend begins and ends where it is fretted or at its target',
      'it is bent so already',
      'the note is not there any more',
      'what was given is of another kind',
    ]);
    const plain = notesOf(BENT.phrase).at(-1)?.note.id ?? '';
    expect(refusal(BENT, 2, { note: plain })).toBe('the note is not bent');
  });

  it('bends four semitones on the high strings and two on the low (M10)', () => {
    expect(refusal(BENT, 2, { semitones: 5 })).toMatch(/5 semitones wide/u);
    expect(refusal(BENT, 2, { semitones: 0 })).toMatch(/0 semitones wide/u);
    expect(refusal(BENT, 6, { semitones: 3 })).toMatch(/3 semitones wide/u);
    expect(checkPhrase(draw(BENT, 2, { semitones: 4 }).phrase)).toEqual([]);
    expect(checkPhrase(draw(BENT, 6, { semitones: 1 }).phrase)).toEqual([]);
  });

  it('is one step of undo while the same place is drawn at again within two seconds', () => {
    const drags = [25, 33, 75].map((at) => points([0, 0], [at, 100], [100, 100]));
    const drawnWith = (pauses: readonly number[]) => {
      let s = BENT;
      let history: History = NO_HISTORY;
      let at = 0;
      for (const [i, curve] of drags.entries()) {
        at += pauses[i] ?? 0;
        const joins = drawBend.joins === true;
        const note = { command: drawBend.id, label: drawBend.title, at, joins };
        ({ history, state: s } = record(history, s, draw(s, 2, { curve }), note));
      }
      return { history, phrase: s.phrase };
    };
    const fast = drawnWith([0, 500, 500]);
    expect(fast.history.done).toBe(1);
    expect(undo(fast.history, fast.phrase)?.phrase).toEqual(BENT.phrase);
    expect(drawnWith([0, 5_000, 5_000]).history.done).toBe(3);
  });
});

describe('the points of a curve', () => {
  const up = curveOfShape('bend');

  it('stand at halves, thirds, quarters, sixths and eighths of the note', () => {
    const fractions = [2, 3, 4, 6, 8].flatMap((n) =>
      Array.from({ length: n + 1 }, (_, i) => Math.round((100 * i) / n)),
    );
    expect(BEND_PLACES).toEqual([...new Set(fractions)].sort((a, b) => a - b));
  });

  it('stand at quarter tones', () => {
    expect(bendHeights(2)).toEqual([0, 25, 50, 75, 100]);
    expect(bendHeights(1)).toEqual([0, 50, 100]);
    expect(bendHeights(0.5)).toEqual([0, 100]);
  });

  it('keep between their neighbours and the ends at the ends', () => {
    expect(movePoint(up, 1, { at: 300, amount: 40 }, 2)[1]).toEqual({ at: 88, amount: 50 });
    expect(movePoint(up, 1, { at: -5, amount: -5 }, 2)[1]).toEqual({ at: 13, amount: 0 });
    expect(movePoint(up, 2, { at: 50, amount: 40 }, 2)[2]).toEqual({ at: 100, amount: 0 });
    expect(movePoint(up, 0, { at: 50, amount: 60 }, 2)[0]).toEqual({ at: 0, amount: 100 });
  });

  it('go by steps of a key until there is no further place', () => {
    expect(stepPoint(up, 1, 'later', 2)?.[1]).toEqual({ at: 63, amount: 100 });
    expect(stepPoint(up, 1, 'down', 2)?.[1]).toEqual({ at: 50, amount: 75 });
    expect(stepPoint(up, 1, 'up', 2)).toBeNull();
    expect(stepPoint(up, 2, 'sooner', 2)).toBeNull();
    expect(stepPoint(up, 2, 'down', 2)?.[2]).toEqual({ at: 100, amount: 0 });
    const close = points([0, 0], [50, 50], [63, 100], [100, 100]);
    expect(stepPoint(close, 1, 'later', 2)).toBeNull();
  });

  it('are added on the line, and taken out except for the ends', () => {
    const added = addPoint(up, 0, 25, 2);
    expect(added).toEqual({
      curve: points([0, 0], [25, 50], [50, 100], [100, 100]),
      index: 1,
    });
    expect(removePoint(added?.curve ?? [], 1)).toEqual(up);
    expect([removePoint(up, 0), removePoint(up, 2), removePoint(up, 9)]).toEqual([
      null,
      null,
      null,
    ]);
    expect(addPoint(points([0, 0], [13, 100], [100, 100]), 0, 5, 2)).toBeNull();
  });
});

/** One edit of a curve as the helpers make it. */
const arbEdit = fc.record({
  kind: fc.constantFrom('move', 'step', 'add', 'remove', 'width'),
  index: fc.nat({ max: 14 }),
  at: fc.double({ min: -50, max: 150, noNaN: true }),
  amount: fc.double({ min: -50, max: 150, noNaN: true }),
  step: fc.constantFrom<PointStep>('sooner', 'later', 'up', 'down'),
  semitones: fc.constantFrom(0.5, 1, 2, 3, 4, 5),
});

describe('any sequence of edits of a curve', () => {
  it('is a bend by all rules or refused, and covers the note in ascending points', () => {
    const seen = new Map<string, number>();
    const count = (what: string) => seen.set(what, (seen.get(what) ?? 0) + 1);
    fc.assert(
      fc.property(
        fc.constantFrom(2, 3, 6),
        fc.array(arbEdit, { minLength: 1, maxLength: 30 }),
        (string, edits) => {
          let s = BENT;
          let width = 2;
          for (const e of edits) {
            const now = noteOn(s, string).bend;
            if (now === undefined) throw new Error('the bend was lost');
            const index = e.index % now.curve.length;
            const semitones = e.kind === 'width' ? e.semitones : width;
            const curve = edited(now.curve, index, e, width);
            expect(curve[0]?.at).toBe(0);
            expect(curve.at(-1)?.at).toBe(100);
            for (const [i, p] of curve.entries()) {
              expect(p.at).toBeGreaterThan(curve[i - 1]?.at ?? -1);
              expect(p.amount).toBeGreaterThanOrEqual(0);
              expect(p.amount).toBeLessThanOrEqual(100);
            }
            const outcome = runCommand(s, drawBend, {
              note: noteOn(s, string).id,
              curve,
              semitones,
            });
            if (outcome.kind !== 'done') {
              count(outcome.because);
              continue;
            }
            s = outcome.state;
            width = semitones;
            expect(checkPhrase(s.phrase)).toEqual([]);
            const { bend } = noteOn(s, string);
            expect(bend?.curve).toEqual(curve);
            expect(bend?.shape).toBe(semitones === 0.5 ? 'curl' : shapeOfEnds(curve));
            count(bend?.shape ?? 'none');
          }
        },
      ),
      { numRuns: 200, seed: SEED },
    );
    // Every shape was drawn, so that the rules were tried on all of them.
    for (const shape of ['bend', 'bend-release', 'pre-bend', 'pre-bend-release', 'curl']) {
      expect(seen.get(shape) ?? 0, shape).toBeGreaterThan(0);
    }
    expect(seen.get('the bend never reaches its target') ?? 0).toBeGreaterThan(0);
  });
});

function edited(
  curve: readonly BendPoint[],
  index: number,
  e: typeof arbEdit extends fc.Arbitrary<infer T> ? T : never,
  width: number,
): readonly BendPoint[] {
  switch (e.kind) {
    case 'move':
      return movePoint(curve, index, e, width);
    case 'step':
      return stepPoint(curve, index, e.step, width) ?? curve;
    case 'add':
      return addPoint(curve, index, e.at, width)?.curve ?? curve;
    case 'remove':
      return removePoint(curve, index) ?? curve;
    default:
      return curve;
  }
}

describe('a note bent by its key', () => {
  it('can be drawn at once', () => {
    const s = press(startEditing(build('q 2/8', { chords: 'A7' })), 'ArrowUp', 'b');
    const curve = points([0, 0], [17, 100], [100, 100]);
    expect(noteOn(draw(s, 2, { curve }), 2).bend?.curve).toEqual(curve);
  });
});
