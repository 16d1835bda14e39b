import { describe, expect, it } from 'vitest';
import { Listener } from '../../../../src/sound/capture/listen';
import { build } from '../../../support/build';
import { captureWeights } from '../../../support/capture-model';
import { CONDITIONS, SEEDS } from '../../../support/catch-goals';
import { playBack } from '../../../support/caught';
import { GoalCount, hearAgain } from '../../../support/goal-count';
import { playedPhrase } from '../../../support/played-phrase';

/** What our own player sounds comes back as it was written; all samples: `tests/scripts/catch-back.ts`. */
describe('a phrase that is played, heard and written again', () => {
  const listener = new Listener(captureWeights());
  const at = (bpm: number) => ({ tempo: { bpm, unit: 'quarter' as const } });

  it('keeps notes, rhythm and double stops', () => {
    const p = build('e 3/5 e 2/5 q 1/5+2/5 | e3 3/7 e3 2/5 e3 1/5 q 2/8', {
      ...at(96),
      meter: '2/4',
    });
    const { tally, written } = playBack(p, listener);
    expect(tally.of('notes').f).toBe(1);
    expect(tally.of('onset exact').f).toBe(1);
    expect(tally.of('length exact').f).toBe(1);
    expect(tally.of('pitch').f).toBe(1);
    expect(written?.voices[0].tuplets).toHaveLength(1);
  });

  it('keeps a bend, a vibrato and a slide-in, and finds the tempo', () => {
    const p = build(
      'q 3/7(bend:E4) e 2/5 e 3/5 h 2/8(vib) | e 2/5 e 3/7 q 3/5 h 3/7(in:-1)',
      at(90),
    );
    const { tally, widths, written } = playBack(p, listener, { told: false });
    expect(tally.of('notes').f).toBe(1);
    expect(tally.of('onset exact, tempo found').f).toBe(1);
    expect(tally.of('bend')).toMatchObject({ hit: 1, said: 1 });
    expect(tally.of('vibrato')).toMatchObject({ hit: 1, said: 1 });
    expect(Math.abs(widths[0]!)).toBeLessThan(15);
    expect(written?.tempo.bpm).toBe(90);
    const last = written?.voices[0].events.at(-1)?.notes[0];
    expect(last).toMatchObject({ slideIn: { kind: 'interval', from: 'below', semitones: 1 } });
  });

  // All of it, run by hand: `tests/scripts/catch-goals.ts report 0 500`.
  it('comes back out of rooms and noise as it was played', () => {
    const all = new GoalCount();
    for (const i of [20, 61]) {
      all.add(hearAgain(playedPhrase(SEEDS.report + i), CONDITIONS[i % 18]!, i, listener));
    }
    expect(all.tally.of('notes').f).toBeGreaterThan(0.95);
    expect(all.tally.of('onset exact').f).toBeGreaterThan(0.95);
    expect(all.tally.of('degree').f).toBeGreaterThan(0.97);
  });
});
