import type { Phrase } from '../phrase/types';
import { endOf } from '../phrase/walk';
import { midiOf } from '../theory/pitch';
import { type FingeringStyle, lovesOpenStrings } from './weights';

/**
 * The weight set that fits a phrase (N4), the same for every use of the engine. *fingerstyle*: letters
 * for picking fingers, strings mostly left to ring, or an instrument played with open strings.
 * *chordal*: three strings and more sound at a third of what is struck, a drone held by the other
 * voice included, or the strings of a chord one after the other. *lead*: a line.
 */
export function styleOf(p: Phrase): FingeringStyle {
  const events = p.voices.flatMap((v) => v.events);
  const notes = events.flatMap((e) => e.notes).filter((n) => n.kind === 'pitched');
  if (notes.some((n) => n.pluck !== undefined)) return 'fingerstyle';
  const ringing = notes.filter((n) => n.letRing === true).length;
  if (ringing > 0 && ringing * 2 >= notes.length) return 'fingerstyle';
  if (lovesOpenStrings(p.instrument)) return 'fingerstyle';
  const chords = chordsIn(p);
  const chordal = (chords > 0 && chords * 3 >= events.length) || p.voices.every(isBroken);
  return chordal ? 'chordal' : 'lead';
}

/** Fewest notes that say what they are: a shorter run of thirds is part of a line. */
const BROKEN_NOTES = 5;

/** From a minor third up, an interval joins tones of a chord; steps are what lines are made of. */
const SMALLEST_LEAP = 3;

/**
 * Whether a voice is a broken chord: plain single notes without a step between them, so that the
 * hand holds the shape and plays no line (*common practice*).
 */
function isBroken(v: Phrase['voices'][number]): boolean {
  const notes = v.events.flatMap((e) => e.notes);
  if (notes.length < BROKEN_NOTES || v.events.some((e) => e.notes.length > 1)) return false;
  const midis: number[] = [];
  for (const n of notes) {
    if (n.kind !== 'pitched' || n.attack !== undefined || n.bend !== undefined) return false;
    midis.push(midiOf(n.pitch));
  }
  return midis.every((m, i) => i === 0 || Math.abs(m - midis[i - 1]!) >= SMALLEST_LEAP);
}

/** Events at which three strings and more sound, the other voices' included. */
function chordsIn(p: Phrase): number {
  let chords = 0;
  for (const v of p.voices) {
    const others = p.voices.filter((x) => x !== v).map((x) => x.events);
    const at = others.map(() => 0);
    for (const e of v.events) {
      let sounding = e.notes.length;
      others.forEach((o, i) => {
        while (at[i]! < o.length && endOf(o[at[i]!]!) <= e.onset) at[i]!++;
        const over = o[at[i]!];
        if (over !== undefined && over.onset <= e.onset) sounding += over.notes.length;
      });
      if (sounding > 2) chords++;
    }
  }
  return chords;
}
