import { describe, expect, it } from 'vitest';
import { DRUMS, type DrumHit } from '../../../src/core/sound/parts';
import { perform } from '../../../src/core/sound/perform';
import { BLOCK } from '../../../src/sound/dsp/block';
import { Convolver } from '../../../src/sound/dsp/convolver';
import { CEILING, Limiter } from '../../../src/sound/dsp/limiter';
import { Random } from '../../../src/sound/dsp/random';
import { Engine } from '../../../src/sound/engine';
import { build } from '../../support/build';

const RATE = 44_100;
const PHRASE = build('q 6/3 e 4/2 5/0 q -', { tempo: { bpm: 120, unit: 'quarter' } });

function peakOf(x: ArrayLike<number>, from = 0, to = x.length): number {
  let most = 0;
  for (let i = from; i < to; i++) most = Math.max(most, Math.abs(x[i]!));
  return most;
}

/** The largest second difference: a click is a corner where the sound has none. */
function cornerOf(x: Float32Array, from: number, to: number): number {
  let most = 0;
  for (let i = from; i < to; i++)
    most = Math.max(most, Math.abs(x[i + 1]! - 2 * x[i]! + x[i - 1]!));
  return most;
}

const bytes = (x: Float32Array) => Buffer.from(x.buffer, x.byteOffset, x.byteLength);

function playing(mix?: ConstructorParameters<typeof Engine>[1]): Engine {
  const engine = new Engine(RATE, mix);
  engine.setUp('phrase', { instrument: PHRASE.instrument, tone: 'steel' });
  return engine;
}

const SOUNDS = { part: 'phrase', sounds: perform(PHRASE).sounds } as const;
const ROUND = Math.round(perform(PHRASE).length * RATE);

function rendered(engine: Engine, samples: number, step = samples): Float32Array {
  const out = new Float32Array(samples);
  for (let at = 0; at < samples; at += step)
    engine.render(out.subarray(at, Math.min(samples, at + step)));
  return out;
}

describe('convolution in parts', () => {
  it('equals the sum over the response, also after silence', () => {
    const random = new Random(3);
    const response = Float32Array.from({ length: 500 }, () => random.next());
    const silent = (block: number) => (block >= 3 && block < 11) || block === 13;
    const x = Float64Array.from({ length: 16 * BLOCK }, (_, i) =>
      silent(Math.floor(i / BLOCK)) ? 0 : random.next(),
    );
    const convolver = new Convolver(response);
    let off = 0;
    for (let b = 0; b < 16; b++) {
      const block = x.slice(b * BLOCK, (b + 1) * BLOCK);
      const heard = convolver.process(block, silent(b));
      for (let i = 0; i < BLOCK; i++) {
        const at = b * BLOCK + i;
        let sum = 0;
        for (let k = 0; k < response.length && k <= at; k++) sum += response[k]! * x[at - k]!;
        off = Math.max(off, Math.abs((heard ? block[i]! : 0) - sum));
      }
    }
    expect(off).toBeLessThan(1e-9);
  });
});

describe('the limiter', () => {
  it('lets nothing over its ceiling and leaves alone what is under it', () => {
    const random = new Random(5);
    const limiter = new Limiter();
    const out = new Float32Array(BLOCK);
    for (let b = 0; b < 400; b++) {
      const loud = b % 7 === 0 ? 3 : 0.5;
      const block = Float64Array.from({ length: BLOCK }, () => loud * random.next());
      limiter.process(block, out);
      expect(peakOf(out)).toBeLessThanOrEqual(CEILING + 1e-6);
    }
    const quiet = new Limiter();
    const block = Float64Array.from({ length: BLOCK }, () => 0.8 * random.next());
    quiet.process(block, out);
    expect(out[100]).toBe(Math.fround(block[100 - Engine.LATENCY]!));
  });
});

describe('the engine', () => {
  it('computes the same however many samples are asked for at once', () => {
    const whole = playing();
    whole.play(SOUNDS);
    const pieces = playing();
    pieces.play(SOUNDS);
    const length = 40_000;
    expect(bytes(rendered(pieces, length, 333)).equals(bytes(rendered(whole, length)))).toBe(true);
  });

  it('repeats a round sample by sample, without a seam', () => {
    const engine = playing();
    for (const round of [0, 1, 2]) engine.play(SOUNDS, round * ROUND);
    const x = rendered(engine, 3 * ROUND);
    expect(peakOf(x)).toBeGreaterThan(0.03);
    // The rest at the end lets the strings come to rest, so that every round begins alike.
    const second = x.slice(ROUND, 2 * ROUND);
    let off = 0;
    for (let i = 0; i < ROUND; i++) off = Math.max(off, Math.abs(second[i]! - x[2 * ROUND + i]!));
    expect(off).toBeLessThan(1e-5);
  });

  it('stops, changes levels and takes another tone without a click', () => {
    const moments: readonly ((e: Engine) => void)[] = [
      (e) => e.stop(),
      (e) => e.level('phrase', Number.NEGATIVE_INFINITY),
      (e) => e.level('phrase', 6),
      (e) => e.setUp('phrase', { instrument: PHRASE.instrument, tone: 'nylon' }),
    ];
    const at = 80 * BLOCK;
    for (const change of moments) {
      const engine = playing();
      engine.play(SOUNDS);
      const before = rendered(engine, at);
      change(engine);
      const after = rendered(engine, 40 * BLOCK);
      const x = new Float32Array(at + after.length);
      x.set(before);
      x.set(after, at);
      const usual = cornerOf(x, at - 4000, at - 200);
      expect(usual).toBeGreaterThan(0);
      expect(cornerOf(x, at - 2, x.length - 1)).toBeLessThan(2.2 * usual);
    }
  });

  it('stops at a sample, and plays what was sent after that', () => {
    const engine = playing();
    engine.play(SOUNDS);
    engine.play(SOUNDS, ROUND);
    engine.stop('phrase', ROUND);
    const later = 2 * ROUND;
    engine.play(SOUNDS, later);
    const x = rendered(engine, later + 10_000);
    expect(peakOf(x, 0, ROUND)).toBeGreaterThan(0.03);
    expect(peakOf(x, ROUND + 8000, later)).toBeLessThan(1e-4);
    expect(peakOf(x, later)).toBeGreaterThan(0.03);
  });
});

describe('drums and metronome', () => {
  const silent = { phrase: 0, bass: 0, comping: 0, drums: 0, click: 0 };
  const hit = (drum: DrumHit['drum'], onset = 0, level = 0): DrumHit => ({ drum, onset, level });

  function heard(hits: readonly DrumHit[], seconds = 0.5): Float32Array {
    const engine = new Engine(RATE, silent);
    engine.play({ part: 'drums', sounds: hits });
    return rendered(engine, Math.round(seconds * RATE));
  }

  it('gives every piece a sound that begins at once, louder where it is struck harder', () => {
    for (const drum of DRUMS) {
      const mezzo = heard([hit(drum)]);
      const first = mezzo.findIndex((v) => Math.abs(v) > 0.02 * peakOf(mezzo)) - Engine.LATENCY;
      expect(peakOf(mezzo), drum).toBeGreaterThan(0.02);
      expect(peakOf(mezzo), drum).toBeLessThan(CEILING);
      expect(first / RATE, drum).toBeLessThan(drum === 'sweep' ? 0.05 : 0.003);
      const loud = heard([hit(drum, 0, 6)]);
      expect(peakOf(loud) / peakOf(mezzo), drum).toBeGreaterThan(1.3);
      expect(bytes(heard([hit(drum)])).equals(bytes(mezzo)), drum).toBe(true);
    }
  });

  it('ends an open hat with a closed one or the foot, and nothing else', () => {
    const tail = (then: DrumHit['drum']) =>
      peakOf(heard([hit('open hat'), hit(then, 0.1, -30)], 0.35), Math.round(0.25 * RATE));
    const open = tail('kick');
    expect(tail('closed hat')).toBeLessThan(open / 20);
    expect(tail('foot hat')).toBeLessThan(open / 20);
  });

  it('clicks on its beats, which are told apart', () => {
    const engine = new Engine(RATE, silent);
    const beats = ['first', 'beat', 'part'] as const;
    const sounds = beats.map((beat, i) => ({ beat, onset: 0.1 * i, level: 0 }));
    engine.play({ part: 'click', sounds });
    const x = rendered(engine, 13_230 + Engine.LATENCY).slice(Engine.LATENCY);
    const crossings = beats.map((_, i) => {
      const part = x.slice(i * 4410, i * 4410 + 1500);
      expect(peakOf(part)).toBeGreaterThan(0.05);
      return part.reduce((n, v, k) => n + (k > 0 && v < 0 !== part[k - 1]! < 0 ? 1 : 0), 0);
    });
    expect(crossings[0]!).toBeGreaterThan(crossings[1]! * 1.2);
    expect(crossings[1]!).toBeGreaterThan(crossings[2]! * 1.2);
  });
});
