import { KeySignature, Stave, TimeSignature, Clef as VexClef } from 'vexflow/core';
import type { Key, Meter } from '../../core/phrase/types';
import { type Pen, SPACE } from '../ink/pen';
import { type Clef, shownFifths } from '../score/clef';
import { PenContext } from './context';

/** VexFlow sets lines of odd thickness to the middle of a pixel, half a unit down. */
const PIXEL = 0.5;

class Lines extends Stave {
  /** What stands on them is placed elsewhere. */
  override format(): void {}
}

/** Draws the five lines of a staff from x = 0. */
export function drawVexStaff(pen: Pen, width: number, thickness: number): void {
  const context = new PenContext(pen, { stave: 'staff-line' }, { 'staff-line': thickness });
  context.className = 'dw-line';
  const lines = new Lines(0, -4 * SPACE - PIXEL, width, { leftBar: false, rightBar: false });
  // Bar lines are ours: they run on through the tablature.
  lines.getModifiers().length = 0;
  lines.setContext(context.forVexFlow).draw();
}

const TYPES: Readonly<Record<Clef['glyph'], readonly [type: string, annotation?: string]>> = {
  gClef: ['treble'],
  gClef8vb: ['treble', '8vb'],
  fClef8vb: ['bass', '8vb'],
};

function staffAt(pen: Pen, top: number): Stave {
  const stave = new Stave(0, top - 4 * SPACE, 0, { leftBar: false, rightBar: false });
  const kinds = { clef: 'clef', keysignature: 'key-signature', timesignature: 'meter' } as const;
  return stave.setContext(new PenContext(pen, kinds, {}).forVexFlow);
}

/** Draws a clef with its left edge at x. */
export function drawVexClef(pen: Pen, clef: Clef, x: number): void {
  const [type, annotation] = TYPES[clef.glyph];
  new VexClef(type, 'default', annotation).setStave(staffAt(pen, 0)).setX(x).draw();
}

class Signature extends KeySignature {
  gap = 0;

  /** Our own room between the signs; VexFlow's is a little wide for seven of them. */
  override calculateDimensions(): void {
    let x = 0;
    for (const sign of this.children) {
      sign.setXShift(x);
      x += sign.getWidth() + this.gap;
    }
  }
}

/** Major keys by their sharps, from seven flats to seven sharps: VexFlow knows signatures by them. */
const MAJOR = ['Cb', 'Gb', 'Db', 'Ab', 'Eb', 'Bb', 'F', 'C', 'G', 'D', 'A', 'E', 'B', 'F#', 'C#'];

/**
 * Draws a signature from x on.
 * @param gap Room between two signs.
 */
export function drawVexSignature(pen: Pen, key: Key, clef: Clef, x: number, gap: number): void {
  const signature = new Signature(MAJOR[shownFifths(key) + 7]!);
  signature.gap = gap;
  const [type] = TYPES[clef.glyph];
  signature.setStave(staffAt(pen, 0).setClef(type)).setX(x).draw();
}

/** Draws the numbers of a meter one over the other, the wider from x on. */
export function drawVexMeter(pen: Pen, m: Meter, x: number, top: number): void {
  new TimeSignature(`${m.beats}/${m.beatType}`).setStave(staffAt(pen, top)).setX(x).draw();
}
