import { describe, expect, it } from 'vitest';
import { decode } from '../../../../src/sound/capture/decode';
import type { Posteriors } from '../../../../src/sound/capture/network';
import { LOWEST, PITCHES } from '../../../../src/sound/capture/network-shape';

const OUTPUTS = 16;
const STEP = 40;
const logit = (share: number) => Math.log(share / (1 - share));

/** What the network says of a note: when it is struck (how surely), and whether it is heard to sound until the next. */
interface Said {
  readonly at: number;
  readonly midi: number;
  readonly onset: number;
  readonly sounds: boolean;
}

function said(notes: readonly Said[]): Posteriors {
  const frames = STEP * 10;
  const values = new Float32Array(frames * PITCHES * OUTPUTS).fill(0);
  for (let i = 0; i < frames * PITCHES; i++) {
    values[i * OUTPUTS] = -8;
    values[i * OUTPUTS + 1] = -8;
    // Neither struck by the other hand nor bent, shaken, slid or muted.
    for (const k of [4, 5, 6, 7, 8, 9, 10]) values[i * OUTPUTS + k] = -8;
  }
  for (const { at, midi, onset, sounds } of notes) {
    const place = (t: number) => ((at * STEP + 10 + t) * PITCHES + midi - LOWEST) * OUTPUTS;
    values[place(0)] = logit(onset);
    if (sounds) for (let t = 0; t < STEP - 4; t++) values[place(t) + 1] = 4;
  }
  return { frames, lowest: LOWEST, values, dead: new Float32Array(frames).fill(-8) };
}

const line = [50, 52, 53, 55, 57, 55];
/** The line, and over it octaves of which the network is so sure, where it is. */
const doubled = (over: readonly (number | null)[]) =>
  said(
    line.flatMap((midi, at): Said[] => {
      const share = over[at] ?? null;
      const low = { at, midi, onset: 0.9, sounds: true };
      const high = { at, midi: midi + 12, onset: share ?? 0, sounds: (share ?? 0) > 0.5 };
      return share === null ? [low] : [low, high];
    }),
  );
const heard = (p: Posteriors) =>
  decode(p)
    .notes.filter((n) => n.pitch > 60)
    .map((n) => Math.round(n.pitch));

describe('a line in octaves', () => {
  it('has the octaves of which the network is unsure, as long as what they double', () => {
    const p = doubled([0.9, 0.2, 0.8, 0.15, 0.9, 0.3]);
    expect(heard(p)).toEqual([62, 64, 65, 67, 69, 67]);
    const [low, high] = decode(p).notes.filter((n) => Math.abs(n.onset - 0.58) < 0.1);
    expect(high!.pitch - low!.pitch).toBeCloseTo(12, 6);
    expect(high!.end).toBe(low!.end);
    // It is asked about on the page: an unsure note.
    expect(high!.confidence).toBeLessThan(0.67);
  });

  it('has none where the network hears none, or where the notes around are not doubled', () => {
    expect(heard(doubled([0.9, 0.05, 0.8, 0.9]))).toEqual([62, 65, 67]);
    expect(heard(doubled([null, null, 0.4, null, null, null]))).toEqual([]);
    expect(heard(doubled([0.4]))).toEqual([]);
    // Two notes alone say nothing of a line.
    const two = [50, 52].flatMap((midi, at) => [
      { at, midi, onset: 0.9, sounds: true },
      { at, midi: midi + 12, onset: 0.3, sounds: false },
    ]);
    expect(heard(said(two))).toEqual([]);
  });
});

describe('two strings a semitone apart', () => {
  it('are two notes where the network is clear about both, and one where it is not', () => {
    const pair = (lower: number) =>
      said([
        { at: 1, midi: 65, onset: lower, sounds: true },
        { at: 1, midi: 66, onset: 0.95, sounds: true },
      ]);
    expect(heard(pair(0.85))).toEqual([65, 66]);
    expect(heard(pair(0.7))).toEqual([66]);
  });
});
