import { describe, expect, it } from 'vitest';
import { courseOf } from '../../../src/core/practice/course';
import { PLAIN, type Practice, type Step } from '../../../src/core/practice/types';
import { toneOf } from '../../../src/core/sound/tone';
import { Engine } from '../../../src/sound/engine';
import { build } from '../../support/build';

const RATE = 22_050;
const phrase = build('e 3/5 3/7 2/5 2/8 q 1/5(vib) 2/5 |', {
  key: 'C',
  chords: 'C7',
  tempo: { bpm: 180, unit: 'quarter' },
});
const loop: Practice = {
  ...PLAIN,
  endless: true,
  click: { beats: 'every', accent: true, parts: 1 },
};

interface Placed {
  readonly step: Step;
  /** Sample at which it begins, as the player places it. */
  readonly frame: number;
}

function placed(practice: Practice, count: number): readonly Placed[] {
  const course = courseOf(phrase, practice);
  if (!course.ok) throw new Error('no course');
  const list: Placed[] = [];
  let start = 0;
  for (let s: Step | null = course.value.first; s !== null && list.length < count; ) {
    list.push({ step: s, frame: Math.round(start * RATE) });
    start += s.length;
    s = course.value.after(s, true);
  }
  return list;
}

const end = ({ step, frame }: Placed) => frame + Math.round(step.length * RATE);

/** @param ahead Samples before its beginning at which a step is sent; blocks of odd sizes between. */
function stream(all: readonly Placed[], ahead: number): Float32Array {
  const engine = new Engine(RATE);
  engine.setUp('phrase', { instrument: phrase.instrument, tone: toneOf(phrase) });
  const out = new Float32Array(end(all.at(-1)!));
  let sent = 0;
  for (let at = 0, n = 100; at < out.length; at += n, n = ((n * 7) % 509) + 1) {
    for (let next = all[sent]; next !== undefined && next.frame <= at + ahead; next = all[sent]) {
      const { step, frame } = next;
      if (step.heard) engine.play({ part: 'phrase', sounds: step.sounds }, frame);
      engine.play({ part: 'click', sounds: step.clicks }, frame);
      sent++;
    }
    engine.render(out.subarray(at, Math.min(at + n, out.length)));
  }
  return out;
}

const same = (a: Float32Array, b: Float32Array) =>
  Buffer.compare(Buffer.from(a.buffer), Buffer.from(b.buffer)) === 0;

describe('the seam of a loop', () => {
  it('is the same to the bit, whether rounds are sent one by one or all at once', () => {
    // A tempo at which no round lasts whole samples, and one that rises.
    const up = { by: 7, to: 150, after: 'every round' } as const;
    const all = placed({ ...loop, speed: 97, stepUp: up, cycle: { kind: 'fourths' } }, 3);
    expect(all.some((p) => !Number.isInteger(p.step.length * RATE))).toBe(true);
    expect(same(stream(all, 6000), stream(all, 1e9))).toBe(true);
  });

  it('lies at its sample: a round of the metronome is the round before, moved by its length', () => {
    const all = placed({ ...loop, phrase: false }, 4);
    const length = Math.round(all[0]!.step.length * RATE);
    expect(length).toBeCloseTo(all[0]!.step.length * RATE, 6);
    const out = stream(all, 3000);
    // Compared a little behind the beginning, since the stream is late by what the limiter looks ahead.
    const round = (i: number) => out.slice(i * length, (i + 1) * length - Engine.LATENCY);
    expect(round(0).some((v) => Math.abs(v) > 0.05)).toBe(true);
    const [one, two] = [round(1), round(2)];
    // What is left of the click before is 150 dB beneath it.
    expect(one.every((v, i) => Math.abs(v - two[i]!) < 1e-7)).toBe(true);
    const begins = (r: Float32Array) => r.findIndex((v) => Math.abs(v) > 1e-3);
    expect([0, 1, 2, 3].map((i) => begins(round(i)))).toEqual(Array(4).fill(begins(round(0))));
    expect(begins(round(0))).toBe(Engine.LATENCY);
  });

  it('does not click: no step from sample to sample is larger there than inside a round', () => {
    const all = placed({ ...loop, click: null }, 3);
    const out = stream(all, 3000);
    const steepest = (from: number, to: number) => {
      let most = 0;
      for (let i = from + 1; i < to; i++) most = Math.max(most, Math.abs(out[i]! - out[i - 1]!));
      return most;
    };
    const seam = all[1]!.frame + Engine.LATENCY;
    // The pluck that begins the round belongs to it; what is looked at is what ends before it.
    expect(steepest(seam - 40, seam - 1)).toBeLessThanOrEqual(steepest(0, seam - 200));
    expect(steepest(seam - 1, seam + 2000)).toBeLessThanOrEqual(1.5 * steepest(0, seam - 200));
  });
});
