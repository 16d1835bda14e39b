import type { HeardAttack, HeardBend, HeardNote } from '../../core/heard/types';
import type { Posteriors } from './network';
import { PITCHES } from './network-shape';
import { mean, median, sigmoid } from './numbers';

/** A note that was followed, with what the network says of its techniques. */
export interface Traced {
  /** Seconds. */
  readonly onset: number;
  readonly end: number;
  /** Where it was struck. */
  readonly frame: number;
  readonly row: number;
  readonly pitch: number;
  readonly start: number;
  readonly confidence: number;
  /** Shares of pluck, hammer-on, pull-off and slide. */
  readonly attacks: readonly number[];
  /** How much the network is for a bend and a vibrato, 0 to 1. */
  readonly bends: number;
  readonly shakes: number;
  readonly muted: boolean;
  /** Frames in which it sounds, with the pitch in each. */
  readonly frames: readonly number[];
  readonly midi: readonly number[];
}

export type Named = Traced & Pick<HeardNote, 'attack' | 'bend' | 'vibrato' | 'slideIn'>;

const ATTACKS: readonly HeardAttack[] = ['pluck', 'hammer-on', 'pull-off', 'slide'];

/**
 * Techniques from the pitch curve and from what the network says. A slur needs a note that was still
 * sounding, from another pitch no further than a hand slurs.
 */
export function techniquesOf(
  notes: readonly Traced[],
  p: Posteriors,
  sounds: Float32Array,
): readonly Named[] {
  return notes.map((n, i): Named => {
    const sources = notes.slice(Math.max(0, i - 6), i).filter((q) => {
      const far = Math.abs(q.pitch - n.pitch);
      return (
        Math.abs(q.end - n.onset) < 0.08 && far > 0.3 && far < 5.6 && q.onset < n.onset - 0.035
      );
    });
    const attack = attackOf(n, sources);
    const vibrato = vibratoOf(n);
    const bend = bendOf(n, vibrato !== null);
    const slidIn = attack === 'pluck' && bend === null && isSlidInto(n, p, sounds);
    return {
      ...n,
      attack,
      ...(bend === null ? {} : { bend }),
      ...(vibrato === null ? {} : { vibrato }),
      ...(slidIn ? { slideIn: null } : {}),
    };
  });
}

function attackOf(n: Traced, sources: readonly Traced[]): HeardAttack {
  const from = sources.at(-1);
  const likely = ATTACKS[n.attacks.indexOf(Math.max(...n.attacks))]!;
  if (from === undefined || likely === 'pluck') return 'pluck';
  if (likely === 'slide') return likely;
  return n.start > from.pitch ? 'hammer-on' : 'pull-off';
}

/** Depth in cents, from the last two thirds of the note. */
function vibratoOf(n: Traced): number | null {
  if (n.shakes <= 0.5 || n.midi.length <= 14) return null;
  const later = n.midi.slice(Math.floor(n.midi.length / 3));
  const middle = mean(later);
  return Math.sqrt(2 * mean(later.map((v) => (v - middle) ** 2))) * 100;
}

function bendOf(n: Traced, shaken: boolean): HeardBend | null {
  const s = smooth(n.midi);
  const moved = s.length < 6 ? 0 : Math.max(...s.slice(1)) - Math.min(...s.slice(1));
  const both = n.bends > 0.5 && moved > 0.25;
  const plain = n.bends > 0.2 && moved > 0.4 && !shaken;
  if (!both && !plain) return null;
  const from = s[Math.min(1, s.length - 1)]!;
  const end = median(s.slice(-4));
  const high = Math.max(...s);
  const semitones = high - Math.min(from, end, ...s);
  const released = end < high - 0.5 * semitones;
  const bentBefore = from > high - 0.35 * semitones;
  const shape = released ? (bentBefore ? 'pre-bend-release' : 'bend-release') : 'bend';
  return { semitones, shape };
}

/** Without what one frame alone has: medians of five. */
function smooth(curve: readonly number[]): readonly number[] {
  if (curve.length < 5) return curve;
  const at = (i: number) => curve[Math.min(curve.length - 1, Math.max(0, i))]!;
  return curve.map((_, i) => median([-2, -1, 0, 1, 2].map((d) => at(i + d))));
}

/** Whether the network hears a slide around it as it begins. */
function isSlidInto(n: Traced, p: Posteriors, sounds: Float32Array): boolean {
  let most = 0;
  for (let t = n.frame; t < Math.min(p.frames, n.frame + 8); t++)
    for (let r = Math.max(0, n.row - 4); r < Math.min(PITCHES, n.row + 5); r++) {
      if (sounds[t * PITCHES + r]! <= 0.3) continue;
      most = Math.max(most, sigmoid(p.values[(t * PITCHES + r) * 16 + 9]!));
    }
  const late = n.frames[0]! - n.frame >= 2;
  return most > 0.5 && (late || Math.abs(n.midi[0]! - n.pitch) > 0.6);
}

/** A plucked note no longer than this that slides into the next is the beginning of that note, in seconds. */
const LONGEST = 0.09;

export function joinGraces(notes: readonly Named[]): readonly Named[] {
  const out = [...notes];
  const gone = new Set<number>();
  out.forEach((n, i) => {
    if (n.end - n.onset > LONGEST) return;
    for (let k = i + 1; k < Math.min(out.length, i + 4); k++) {
      const q = out[k]!;
      const far = Math.abs(q.start - n.pitch);
      const joins = Math.abs(q.onset - n.end) < 0.035 && q.onset - n.onset < LONGEST + 0.02;
      if (q.attack !== 'slide' || !joins || far <= 0.4 || far >= 3.6) continue;
      out[k] = { ...q, slideIn: n.pitch - q.pitch, onset: n.onset, attack: n.attack };
      gone.add(i);
      return;
    }
  });
  return out.filter((_, i) => !gone.has(i));
}
