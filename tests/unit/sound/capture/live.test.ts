import { describe, expect, it } from 'vitest';
import { Listener } from '../../../../src/sound/capture/listen';
import { Live } from '../../../../src/sound/capture/live';
import { renderPhrase } from '../../../../src/sound/render';
import { build } from '../../../support/build';
import { captureWeights } from '../../../support/capture-model';

const RATE = 44_100;
/** Samples that come at a time. */
const BLOCK = 2048;
const PLAYED = build('q 3/5 e 2/5 e 1/5 q 2/8 e 3/7 e 3/5', {
  tempo: { bpm: 110, unit: 'quarter' },
});

describe('notes while they are played', () => {
  it('are those of the whole recording, each within 0.2 s of sound, also after half an hour', () => {
    const sound = renderPhrase(PLAYED, { rate: RATE, tail: 0.6 });
    const whole = new Listener(captureWeights()).hear(sound, RATE).notes;
    const live = new Live(captureWeights(), RATE);
    // Half an hour in which nobody plays; no block of it is looked at, all of them pass.
    const nothing = new Float32Array(RATE);
    for (let s = 0; s < 1800; s++) live.add(nothing, true);
    const told: { midi: number; at: number }[] = [];
    for (let from = 0; from < sound.length; from += BLOCK) {
      const at = Math.min(sound.length, from + BLOCK) / RATE;
      for (const { id, note } of live.add(sound.slice(from, from + BLOCK))) {
        told[id - 1] = { midi: Math.round(note.pitch), at };
      }
    }
    expect(told.map((t) => t.midi)).toEqual(whole.map((n) => Math.round(n.pitch)));
    whole.forEach((n, i) => {
      // Of sound; hearing it takes some 0.1 s more.
      expect(told[i]!.at - n.onset).toBeLessThan(0.21);
    });
  });
});
