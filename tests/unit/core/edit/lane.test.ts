import { describe, expect, it } from 'vitest';
import { chordAt } from '../../../../src/core/edit/commands/harmony';
import { laneText, wholeLane } from '../../../../src/core/edit/commands/lane';
import { runCommand } from '../../../../src/core/edit/run';
import { type EditState, startEditing } from '../../../../src/core/edit/state';
import { emptyPhrase } from '../../../support/edit';

const oneBar = () => startEditing(emptyPhrase());

function change(s: EditState, run: (s: EditState) => ReturnType<typeof runCommand>): EditState {
  const outcome = run(s);
  if (outcome.kind !== 'done') throw new Error(outcome.because);
  return outcome.state;
}

const HALF_BAR = oneBar().phrase.length / 2;

describe('the lane of a single bar (M2)', () => {
  it('is one line with two chords, and is read back', () => {
    const lane = change(oneBar(), (s) => runCommand(s, wholeLane, 'ii7 V7 |'));
    // Common practice: D minor and G are the second and the fifth degree in C.
    expect(lane.phrase.chords).toEqual([
      { onset: 0, symbol: 'Dm7' },
      { onset: HALF_BAR, symbol: 'G7' },
    ]);
    expect(laneText(lane.phrase)).toBe('Dm7 G7 |');
  });

  it('is refused without the stroke, where each chord is a bar', () => {
    const outcome = runCommand(oneBar(), wholeLane, 'ii7 V7');
    expect(outcome.kind === 'not applicable' && outcome.because).toBe(
      'the lane has 2 bars and the phrase 1 bar',
    );
  });

  it('needs no stroke for one chord', () => {
    const lane = change(oneBar(), (s) => runCommand(s, chordAt, { onset: 0, text: 'bVII7' }));
    expect(laneText(lane.phrase)).toBe('Bb7');
  });
});
