import { describe, expect, it } from 'vitest';
import { isOfDead } from '../../../../src/sound/capture/decode';
import { FRAME, LOWEST, PITCHES } from '../../../../src/sound/capture/network-shape';
import { type Traced, techniquesOf } from '../../../../src/sound/capture/techniques';
import { toUnisons } from '../../../../src/sound/capture/unisons';

const FRAMES = 200;

/** A note that begins in a frame and has these pitches, one a frame. */
function traced(frame: number, midi: readonly number[], more: Partial<Traced> = {}): Traced {
  const sorted = [...midi].sort((a, b) => a - b);
  return {
    onset: frame * FRAME,
    end: (frame + midi.length) * FRAME,
    frame,
    row: 20,
    pitch: sorted[midi.length >> 1]!,
    start: midi[0]!,
    confidence: 0.9,
    attacks: [1, 0, 0, 0],
    bends: 0,
    shakes: 0,
    muted: false,
    frames: midi.map((_, i) => frame + i),
    midi,
    strings: [],
    ...more,
  };
}

/** Techniques where the network says nothing more than the notes have. */
function named(...notes: readonly Traced[]) {
  const p = {
    frames: FRAMES,
    lowest: LOWEST,
    values: new Float32Array(FRAMES * PITCHES * 16),
    dead: new Float32Array(FRAMES),
  };
  return techniquesOf(notes, p, new Float32Array(FRAMES * PITCHES));
}

const held = (midi: number, frames: number) => Array.from({ length: frames }, () => midi);
const line = (from: number, to: number, frames: number) =>
  Array.from({ length: frames }, (_, i) => from + ((to - from) * i) / (frames - 1));

describe('what a hand did, from curves', () => {
  it('is a slide only where the note before is on its way', () => {
    const slid = traced(30, held(62, 30), { attacks: [0.1, 0.1, 0.2, 0.6] });
    const goes = traced(0, [...held(64, 24), 63.8, 63.5, 63.2, 63, 62.8, 62.5]);
    const stays = traced(0, held(64, 30));
    expect(named(goes, slid)[1]!.attack).toBe('slide');
    expect(named(stays, slid)[1]!.attack).toBe('pull-off');
    const struck = { ...slid, attacks: [0.4, 0, 0, 0.6] };
    expect(named(stays, struck)[1]!.attack).toBe('pluck');
    // Of a note that is over at once nothing is heard but that it was there.
    expect(named(traced(24, held(64, 6)), slid)[1]!.attack).toBe('slide');
  });

  it('is a bend only where the pitch goes up from where it was, or comes down to it', () => {
    const bend = (midi: readonly number[]) => named(traced(0, midi, { bends: 0.9 }))[0]!.bend;
    expect(bend([...held(64, 6), ...line(64, 66, 12), ...held(66, 20)])?.shape).toBe('bend');
    expect(bend([...held(66, 10), ...line(66, 64, 12), ...held(64, 20)])?.shape).toBe(
      'pre-bend-release',
    );
    // Another string is heard in between.
    expect(bend([...held(64, 20), ...line(64, 63, 6), ...line(63, 64, 6), ...held(64, 20)])).toBe(
      undefined,
    );
  });

  it('brings a bend to the string that already sounds there', () => {
    const bent = traced(2, [...held(69, 4), ...line(69, 70.4, 22)], { bends: 0.9 });
    const over = traced(0, held(71, 90));
    const [, both] = toUnisons(named(over, bent));
    expect(both!.bend!.semitones).toBeCloseTo(2, 1);
    expect(both!.end).toBeCloseTo(over.end, 6);
    expect(both!.midi.at(-1)).toBe(71);
    // A drone outlasts it: it ends where the hand goes on.
    const again = { ...bent, onset: 40 * FRAME, end: 66 * FRAME, frame: 40 };
    const [, short] = toUnisons(named(over, bent, again));
    expect(short!.bend!.semitones).toBeCloseTo(2, 1);
    expect(short!.end).toBeCloseTo(again.onset, 6);
    // Nothing sounds there, or the bend has come to rest before.
    expect(toUnisons(named(bent))[0]!.bend!.semitones).toBeCloseTo(1.4, 1);
    const rests = traced(2, [...line(69, 70.4, 22), ...held(70.4, 12)], { bends: 0.9 });
    expect(toUnisons(named(over, rests))[1]!.bend!.semitones).toBeCloseTo(1.4, 1);
  });

  it('is no note where strings that are damped are struck', () => {
    const dead = [{ onset: 10 * FRAME, confidence: 0.8 }];
    const short = traced(11, held(60, 8), { confidence: 0.65 });
    expect(isOfDead(short, dead)).toBe(true);
    expect(isOfDead({ ...short, confidence: 0.9 }, dead)).toBe(false);
    expect(isOfDead(traced(11, held(60, 30), { confidence: 0.65 }), dead)).toBe(false);
    expect(isOfDead(traced(20, held(60, 8), { confidence: 0.65 }), dead)).toBe(false);
  });
});
