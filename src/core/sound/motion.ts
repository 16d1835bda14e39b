import type { PitchedNote } from '../phrase/types';
import { bendSemitones } from '../phrase/walk';
import { lineAt } from './curve';
import type { PitchPoint, Seconds, Shake } from './types';

/**
 * How the finger moves the pitch of one note. All numbers are ours, from what is usual on a guitar at
 * medium tempo (common practice); what is written is never changed by them: a bend reaches its
 * target where the curve says, and a note slid to begins on its beat.
 */
const SLIDE_IN = { rest: 0.02, perSemitone: 0.025, least: 0.05, most: 0.16 } as const;
const INDEFINITE_SEMITONES = 3;
const SLIDE_OFF = { semitones: 5, length: 0.18 } as const;
const GLIDE = { perSemitone: 0.025, least: 0.05, most: 0.25 } as const;
/** No movement takes more than this share of its note. */
const MOST_SHARE = 0.5;
const VIBRATO = { narrow: 35, wide: 90, hertz: 5.2, wait: 0.14, waitShare: 0.3 } as const;

/** Whether a finger that slides is heard gliding, or fret by fret. */
export type SlideManner = 'gliding' | 'stepped';

/** A step from one fret to the next takes so long. */
const STEP = 0.004;

/** A slide into a note from its beginning: the string is plucked on the lower or higher pitch. */
export function slideInCurve(
  n: PitchedNote,
  length: Seconds,
  manner: SlideManner,
): readonly PitchPoint[] {
  if (n.slideIn === undefined) return [];
  const definite = n.slideIn.kind === 'interval';
  const size = n.slideIn.kind === 'interval' ? n.slideIn.semitones : INDEFINITE_SEMITONES;
  const cents = (n.slideIn.from === 'below' ? -100 : 100) * size;
  const room = MOST_SHARE * length;
  const rest = definite ? Math.min(SLIDE_IN.rest, room / 3) : 0;
  const glide = Math.min(within(size, SLIDE_IN), room - rest);
  return travel(rest, glide, cents, 0, definite ? manner : 'gliding');
}

/** A slide off to no definite pitch at the end of a note. */
export function slideOffCurve(n: PitchedNote, length: Seconds): readonly PitchPoint[] {
  if (n.slideOut === undefined) return [];
  const time = Math.min(SLIDE_OFF.length, MOST_SHARE * length);
  const cents = (n.slideOut === 'up' ? 100 : -100) * SLIDE_OFF.semitones;
  return travel(length - time, time, 0, cents, 'gliding');
}

/** A bend as it is written (percent of the note and of the width), in seconds and cents. */
export function bendCurve(n: PitchedNote, length: Seconds): readonly PitchPoint[] {
  if (n.bend === undefined) return [];
  const width = 100 * bendSemitones(n);
  return n.bend.curve.map(({ at, amount }) => ({
    at: (at / 100) * length,
    cents: (amount / 100) * width,
  }));
}

/**
 * The way to the note that is slid to, at the end of this one.
 * @param semitones From the pitch of this note to that of the next.
 * @param so The curve of this note so far, on whose end the way begins.
 */
export function glideCurve(
  semitones: number,
  so: readonly PitchPoint[],
  length: Seconds,
  manner: SlideManner,
): readonly PitchPoint[] {
  const time = Math.min(within(semitones, GLIDE), MOST_SHARE * length);
  const cents = 100 * semitones - lineAt(so, length);
  return travel(length - time, time, 0, cents, manner);
}

function within(semitones: number, o: { perSemitone: number; least: number; most: number }) {
  return Math.max(o.least, Math.min(o.most, o.perSemitone * Math.abs(semitones)));
}

/** From one value to another between `from` and `from + time`, evenly or semitone by semitone. */
function travel(
  from: Seconds,
  time: Seconds,
  before: number,
  after: number,
  manner: SlideManner,
): readonly PitchPoint[] {
  const steps = Math.round(Math.abs(after - before) / 100);
  if (manner === 'gliding' || steps < 2 || time / steps < 2 * STEP) {
    return [
      { at: from, cents: before },
      { at: from + time, cents: after },
    ];
  }
  const points: PitchPoint[] = [];
  for (let i = 0; i < steps; i++) {
    const end = from + (time * (i + 1)) / steps;
    points.push({ at: end - STEP, cents: before + ((after - before) * i) / steps });
    points.push({ at: end, cents: before + ((after - before) * (i + 1)) / steps });
  }
  return points;
}

/** Vibrato begins a little after the note, and after a bend has arrived. */
export function shakeOf(n: PitchedNote, length: Seconds): Shake | null {
  if (n.vibrato === undefined) return null;
  const arrived = n.bend?.curve.find((c) => c.amount === 100)?.at ?? 0;
  const wait = Math.min(VIBRATO.wait, VIBRATO.waitShare * length);
  const from = Math.max(wait, (Math.min(arrived, 60) / 100) * length);
  const bent = n.bend !== undefined && n.bend.shape !== 'curl';
  return { from, hertz: VIBRATO.hertz, depth: (bent ? -1 : 1) * VIBRATO[n.vibrato] };
}
