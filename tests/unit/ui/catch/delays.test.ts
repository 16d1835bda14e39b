import { describe, expect, it } from 'vitest';
import { ClickTest, remembered } from '../../../../src/ui/catch/click-test';
import { delayFor, withDelay } from '../../../../src/ui/catch/kept-delays';
import { Rounds } from '../../../../src/ui/catch/rounds';

const BUILT_IN = { id: 'default', name: 'Built-in' };

describe('the delay of an input', () => {
  it('is that input’s own, and the last that was measured', () => {
    let kept = withDelay(null, BUILT_IN, { seconds: 0.12, at: 1 });
    // The usual input is another one as soon as it is connected.
    const cable = { id: 'default', name: 'Cable' };
    expect(delayFor(kept, cable)).toBeNull();
    kept = withDelay(kept, cable, { seconds: 0.02, at: 2 });
    kept = withDelay(kept, BUILT_IN, { seconds: 0.13, at: 3 });
    expect(delayFor(kept, cable)).toEqual({ seconds: 0.02, at: 2 });
    expect(delayFor(kept, BUILT_IN)).toEqual({ seconds: 0.13, at: 3 });
    for (let i = 0; i < 40; i++) {
      kept = withDelay(kept, { id: `${i}`, name: '' }, { seconds: 0.01, at: 10 + i });
    }
    expect(Object.keys(JSON.parse(kept))).toHaveLength(20);
    expect(delayFor(kept, { id: '39', name: '' })).not.toBeNull();
  });

  it('is none where what is kept is nothing of the kind', () => {
    for (const kept of ['', '0.04', 'null', '[]', '{"default Built-in":{"seconds":9,"at":1}}']) {
      expect(delayFor(kept, BUILT_IN)).toBeNull();
    }
  });

  it('is heard of clicks, which are not remembered as playing while the clock goes on', () => {
    const rate = 8000;
    const late = 0.05;
    const room = new Float32Array(6 * rate);
    const test = new ClickTest({
      rate,
      now: () => 0.1,
      play: (samples, at) => {
        const from = Math.round((at + late) * rate);
        samples.forEach((v, i) => {
          room[from + i] = v;
        });
        return () => {};
      },
    });
    let memory = 0;
    let found: ReturnType<ClickTest['hear']> = null;
    for (let at = 0; at + 512 <= room.length; at += 512) {
      const block = room.slice(at, at + 512);
      const testing = found === null;
      found ??= test.hear(block, (at + 512) / rate);
      const kept = remembered(block, testing);
      memory += kept.length;
      expect(kept.every((v) => v === 0)).toBe(true);
    }
    expect(memory).toBe(Math.floor(room.length / 512) * 512);
    expect(found?.ok).toBe(true);
    if (found?.ok) expect(found.value.seconds).toBeCloseTo(late, 3);
  });
});

it('the notes of a band are those of the round that is kept, not of the last answer', () => {
  const rounds = new Rounds();
  rounds.add(1, [{ at: 0, midi: 40 }]);
  // Asked for, and ended by somebody before it had come.
  rounds.add(2, [{ at: 0, midi: 55 }]);
  expect(rounds.of(1)).toEqual([{ at: 0, midi: 40 }]);
  for (let ask = 3; ask < 30; ask++) rounds.add(ask, []);
  expect(rounds.of(1)).toEqual([]);
});
