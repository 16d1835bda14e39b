import { expect, it } from 'vitest';
import { Remembered } from '../../../../src/ui/catch/memory';

it('remembers the newest samples and no more', () => {
  const memory = new Remembered(5);
  memory.add(Float32Array.of(0.1, 0.2, 0.3));
  memory.add(Float32Array.of(0.4, 0.5, 0.6));
  expect(memory.length).toBe(5);
  const held = [...memory.last(9)].map((v) => Math.round(v * 10) / 10);
  expect(held).toEqual([0.2, 0.3, 0.4, 0.5, 0.6]);
  memory.forget();
  expect(memory.length).toBe(0);
});
