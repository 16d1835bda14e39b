import { describe, expect, it } from 'vitest';
import { difficultyOf } from '../../../../src/core/neck/difficulty';
import { build } from '../../../support/build';

describe('difficultyOf', () => {
  const calm = { bpm: 60, unit: 'quarter' } as const;

  it('is least for a line that lies under the hand', () => {
    const line = build('q 3/5 2/5 2/6 1/5', { tempo: calm });
    expect(difficultyOf(line)).toMatchObject({ step: 1, easier: null });
  });

  it('grows with leaps and with speed, and names what is hard', () => {
    const leaps = build('q 3/2 1/15 4/2 2/14', { tempo: calm });
    const hard = difficultyOf(leaps)!;
    expect(hard.step).toBeGreaterThan(2);
    expect(hard.reasons[0]?.part).toBe('shift');
    const line = build('s 3/5 2/5 2/6 1/5 3/5 2/5 2/6 1/5', { meter: '2/4', tempo: calm });
    const fast = { ...line, tempo: { bpm: 200, unit: 'quarter' } as const };
    expect(difficultyOf(fast)!.step).toBeGreaterThan(difficultyOf(line)!.step);
  });

  it('knows where the same is easier', () => {
    // G B D G the long way, which lies under the hand at the third fret and the open strings.
    const far = build('q 6/3 6/7 5/5 3/12', { tempo: calm });
    const d = difficultyOf(far)!;
    expect(d.easier?.step).toBeLessThan(d.step);
  });

  it('has nothing to say of silence or of what cannot be played', () => {
    expect(difficultyOf(build('w -'))).toBeNull();
    expect(difficultyOf(build('w 1/1+3/9'))).toBeNull();
  });
});
