import type { HeardAttack, HeardBend, HeardNote } from '../../core/heard/types';
import type { Posteriors } from './network';
import { FRAME, PITCHES } from './network-shape';
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
  /** How likely each string is, from the first to the sixth. */
  readonly strings: readonly number[];
}

export type Named = Traced &
  Pick<HeardNote, 'attack' | 'bend' | 'vibrato' | 'slideIn' | 'slideOut'> & {
    /** How much the network hears a slide as it begins, 0 to 1. */
    readonly slides: number;
  };

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
  const attacks = notes.map((n, i) => attackOf(n, sourcesOf(notes, i)));
  const named = notes.map((n, i): Named => {
    const attack = attacks[i]!;
    const slidFrom = notes.some(
      (q, k) => k > i && k < i + 6 && attacks[k] === 'slide' && Math.abs(q.onset - n.end) < 0.08,
    );
    const slides = slideAround(n, p, sounds);
    const whole = courseOf(n);
    const into = attack === 'pluck' && slides.share > n.bends - 0.15 ? glideInto(whole) : null;
    const out = glideOut(into?.rest ?? whole, slidFrom);
    const rest = out?.rest ?? into?.rest ?? whole;
    const vibrato = vibratoOf(n, rest);
    const bend = bendOf(n, rest, vibrato);
    const late = n.frames[0]! - n.frame >= 2 || Math.abs(n.midi[0]! - n.pitch) > 0.6;
    const heardFrom = slides.from === null ? null : slides.from + p.lowest - n.pitch;
    const slid =
      into !== null || (attack === 'pluck' && bend === null && slides.share > 0.5 && late);
    return {
      ...n,
      slides: slides.share,
      attack,
      ...(bend === null ? {} : { bend }),
      ...(vibrato === null ? {} : { vibrato }),
      ...(slid ? { slideIn: into?.size ?? heardFrom } : {}),
      ...(out === null || slidFrom ? {} : { slideOut: out.way }),
    };
  });
  return named.map((n) => slidTogether(n, named));
}

/** Notes that are still sounding as another begins, no further from it than a hand slurs. */
function sourcesOf(notes: readonly Traced[], i: number): readonly Traced[] {
  const n = notes[i]!;
  return notes.slice(Math.max(0, i - 6), i).filter((q) => {
    const far = Math.abs(q.pitch - n.pitch);
    return Math.abs(q.end - n.onset) < 0.08 && far > 0.3 && far < 5.6 && q.onset < n.onset - 0.035;
  });
}

/** Strings that slide into a double stop slide by the same number of frets where one of them tells. */
function slidTogether(n: Named, all: readonly Named[]): Named {
  if (n.slideIn !== null) return n;
  const beside = all.find(
    (q) => q !== n && Math.abs(q.onset - n.onset) < 0.03 && typeof q.slideIn === 'number',
  );
  return beside === undefined ? n : { ...n, slideIn: beside.slideIn ?? null };
}

/** The pitch of a note, moment by moment, in seconds from its onset. */
interface Course {
  readonly at: readonly number[];
  readonly midi: readonly number[];
}

function courseOf(n: Traced): Course {
  return { at: n.frames.map((t) => t * FRAME - n.onset), midi: n.midi };
}

/** Semitones within which a pitch is where it settles. */
const SETTLED = 0.3;
/** A slide into a note has arrived after so many seconds; a bend takes longer. */
const ARRIVED = 0.135;
/** It begins at least so far away, and at most so far, in semitones. */
const LEAST_GLIDE = 0.65;
const MOST_GLIDE = 12.5;

/** A glide at the beginning: from how many semitones below (negative) or above, and what comes after. */
function glideInto({ at, midi }: Course): { size: number; rest: Course } | null {
  if (midi.length < 6) return null;
  const goal = median(midi.slice(Math.floor(midi.length / 3)));
  const size = midi[0]! - goal;
  const arrived = midi.findIndex((m) => Math.abs(m - goal) < SETTLED);
  if (Math.abs(size) < LEAST_GLIDE || Math.abs(size) > MOST_GLIDE || arrived < 1) return null;
  if (at[arrived]! > ARRIVED) return null;
  // A vibrato or a bend comes back; a finger that slides stays.
  const after = midi.slice(arrived, arrived + 6);
  if (after.some((m) => Math.abs(m - goal) > 2 * SETTLED)) return null;
  return { size, rest: { at: at.slice(arrived), midi: midi.slice(arrived) } };
}

/** A slide off takes no longer than this, in seconds, and goes at least so far, in semitones. */
const OFF_TIME = 0.32;
const OFF_LEAST = 2.4;

/** A glide at the end, off to nowhere or to the note that is slid to. */
function glideOut(
  { at, midi }: Course,
  slidFrom: boolean,
): { way: 'up' | 'down'; rest: Course } | null {
  if (midi.length < 8) return null;
  const goal = median(midi.slice(0, Math.ceil(midi.length * 0.6)));
  let leaves = midi.length - 1;
  while (leaves > 0 && Math.abs(midi[leaves]! - goal) >= SETTLED) leaves -= 1;
  const size = midi.at(-1)! - goal;
  const time = at.at(-1)! - at[leaves]!;
  if (leaves === midi.length - 1 || leaves < 3 || time > OFF_TIME) return null;
  if (Math.abs(size) < (slidFrom ? SETTLED : OFF_LEAST)) return null;
  return {
    way: size > 0 ? 'up' : 'down',
    rest: { at: at.slice(0, leaves + 1), midi: midi.slice(0, leaves + 1) },
  };
}

function attackOf(n: Traced, sources: readonly Traced[]): HeardAttack {
  const from = sources.at(-1);
  const likely = ATTACKS[n.attacks.indexOf(Math.max(...n.attacks))]!;
  if (from === undefined || likely === 'pluck') return 'pluck';
  if (likely === 'slide') {
    if (sources.some((q) => glidesTo(q, n))) return likely;
    // A finger that slides is heard on its way: without one, what is likely besides.
    const [pluck, hammer, pull] = n.attacks;
    if (pluck! >= hammer! + pull!) return 'pluck';
  }
  return n.start > from.pitch ? 'hammer-on' : 'pull-off';
}

/** No slide is shorter, in semitones. */
const LEAST_SLIDE = 0.65;

/** A note of no more frames has no time to be heard before it slides. */
const BRIEF = 8;

/** Whether a note goes at least a quarter of the way to another at its end. */
function glidesTo(q: Traced, n: Traced): boolean {
  const way = n.pitch - q.pitch;
  const left = n.pitch - median(q.midi.slice(-3));
  const last = n.pitch - q.midi.at(-1)!;
  const least = Math.min(Math.abs(left), Math.abs(last));
  const goes = q.midi.length <= BRIEF || least <= 0.75 * Math.abs(way);
  return goes && Math.abs(way) >= LEAST_SLIDE;
}

/** Depth in cents, from the last two thirds of the note. */
function vibratoOf(n: Traced, { midi }: Course): number | null {
  if (n.shakes <= 0.5 || midi.length <= 14) return null;
  const later = midi.slice(Math.floor(midi.length / 3));
  const middle = mean(later);
  const moves = mean(later.map((v) => (v - middle) ** 2));
  // What only goes one way is a curl: a vibrato keeps its depth without its slope.
  if (mean(withoutSlope(later).map((v) => v * v)) < STEADY * moves) return null;
  return Math.sqrt(2 * moves) * 100;
}

/** A vibrato keeps at least so much of its movement where a steady rise is taken off. */
const STEADY = 0.35;

/** What is left of a curve beside the straight line through it. */
function withoutSlope(curve: readonly number[]): readonly number[] {
  const half = (curve.length - 1) / 2;
  const middle = mean(curve);
  let up = 0;
  let spread = 0;
  curve.forEach((v, i) => {
    up += (i - half) * (v - middle);
    spread += (i - half) ** 2;
  });
  return curve.map((v, i) => v - middle - ((i - half) * up) / spread);
}

/** No string of a guitar is bent further, in semitones. */
const MOST_BEND = 4.4;

function bendOf(n: Traced, { midi }: Course, vibrato: number | null): HeardBend | null {
  const s = smooth(midi);
  const moved = s.length < 6 ? 0 : Math.max(...s.slice(1)) - Math.min(...s.slice(1));
  const both = n.bends > 0.5 && moved > 0.25;
  const plain = n.bends > 0.2 && moved > 0.4 && vibrato === null;
  if (!both && !plain) return null;
  const from = s[Math.min(1, s.length - 1)]!;
  const end = median(s.slice(-4));
  const high = Math.max(...s);
  const semitones = high - Math.min(from, end, ...s);
  if (semitones > MOST_BEND) return null;
  // A wide vibrato moves as far by itself.
  if (vibrato !== null && 2 * vibrato >= 60 * semitones) return null;
  const released = end < high - 0.5 * semitones;
  const bentBefore = from > high - 0.35 * semitones;
  // What goes down and comes up again was not bent: another string was heard in between, or a bar dipped.
  if (from > high - 0.5 * semitones && !released) return null;
  const shape = released ? (bentBefore ? 'pre-bend-release' : 'bend-release') : 'bend';
  return { semitones, shape };
}

/** Without what one frame alone has: medians of five. */
function smooth(curve: readonly number[]): readonly number[] {
  if (curve.length < 5) return curve;
  const at = (i: number) => curve[Math.min(curve.length - 1, Math.max(0, i))]!;
  return curve.map((_, i) => median([-2, -1, 0, 1, 2].map((d) => at(i + d))));
}

/**
 * How much the network hears a slide around a note as it begins, 0 to 1, and in which row beside its own
 * it hears it begin; null where nothing sounds there.
 */
function slideAround(
  n: Traced,
  p: Posteriors,
  sounds: Float32Array,
): { share: number; from: number | null } {
  const own = Math.round(n.pitch) - p.lowest;
  let share = 0;
  let from: number | null = null;
  let best = 0.08;
  for (let t = Math.max(0, n.frame - 2); t < Math.min(p.frames, n.frame + 8); t++)
    for (let r = Math.max(0, n.row - 4); r < Math.min(PITCHES, n.row + 5); r++) {
      const sound = sounds[t * PITCHES + r]!;
      const slide = sigmoid(p.values[(t * PITCHES + r) * 16 + 9]!);
      if (sound > 0.3 && t >= n.frame) share = Math.max(share, slide);
      if (r !== own && t < n.frame + 5 && sound * slide > best) {
        best = sound * slide;
        from = r;
      }
    }
  return { share, from };
}

/** A plucked note no longer than this that slides into the next is the beginning of that note, in seconds. */
const LONGEST = 0.09;

export function joinGraces(notes: readonly Named[]): readonly Named[] {
  const out = notes.map((n, i) => slidNote(n, notes, i) ?? n);
  const gone = new Set(notes.flatMap((n, i) => (isSlidFrom(n, notes, i) ? [i] : [])));
  out.forEach((n, i) => {
    if (n.end - n.onset > LONGEST || gone.has(i)) return;
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

/** Onsets nearer than this are one, in seconds. */
const AT_ONCE = 0.012;

/** Both ends of a slide begin at once where it is quick: the note that stays is the one that is played. */
function isSlidFrom(n: Named, notes: readonly Named[], i: number): boolean {
  return notes.slice(Math.max(0, i - 3), i + 4).some((q) => slidesInto(n, q));
}

function slidNote(q: Named, notes: readonly Named[], i: number): Named | null {
  const from = notes.slice(Math.max(0, i - 3), i + 4).find((n) => slidesInto(n, q));
  if (from === undefined || q.bend !== undefined) return null;
  return { ...q, slideIn: Math.round(from.start) - q.pitch };
}

function slidesInto(n: Named, q: Named): boolean {
  const far = Math.abs(n.start - q.pitch);
  return (
    n !== q &&
    Math.abs(n.onset - q.onset) < AT_ONCE &&
    n.end - n.onset <= LONGEST + AT_ONCE &&
    q.end - q.onset > 2 * (n.end - n.onset) &&
    far > 0.6 &&
    far < 3.6 &&
    Math.max(n.slides, q.slides) > 0.4
  );
}
