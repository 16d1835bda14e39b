import { fail, ok, type Result } from '../../core/result';
import { median } from './numbers';

/** The click that is played and looked for: so many seconds of one pitch that swells and dies away. */
const HERTZ = 2500;
const SECONDS = 0.006;
/** A click comes back no later than this, in seconds, and little sooner than it was played. */
const LATEST = 0.45;
const SOONEST = 0.01;
/** It must stand so far over what else is heard around it. */
const OVER = 8;
/** So much of its top is where it begins. */
const BEGINS = 0.5;
/** Clicks agree when they come back as near to the middle one as this, in seconds; so many of them must. */
const AGREE = 0.004;
const MOST_AGREE = 0.6;

/** The click as samples, from -1 to 1. */
export function clickSound(rate: number): Float32Array<ArrayBuffer> {
  const n = Math.round(SECONDS * rate);
  return Float32Array.from(
    { length: n },
    (_, i) => Math.sin((2 * Math.PI * HERTZ * i) / rate) * Math.sin((Math.PI * (i + 0.5)) / n) ** 2,
  );
}

/** What a click test found. */
export interface Delay {
  /** From playing to hearing, both ways through the device. */
  readonly seconds: number;
  /** How far the clicks lie beside that, at most. */
  readonly spread: number;
  readonly heard: number;
}

/**
 * How long a sound takes through loudspeaker, air and input: clicks are looked for in what was heard, and the
 * middle of their delays is taken.
 * @param samples What was heard, from the moment from which `clicks` count.
 * @param clicks Seconds at which clicks were played.
 * @returns problems in words where too few are heard or they do not agree.
 */
export function delayOf(
  samples: Float32Array,
  rate: number,
  clicks: readonly number[],
): Result<Delay> {
  const delays = clicks.flatMap((at) => {
    const found = clickNear(samples, rate, at);
    return found === null ? [] : [found];
  });
  const least = Math.ceil(MOST_AGREE * clicks.length);
  if (delays.length < least) {
    return fail({
      message: `${delays.length} of ${clicks.length} clicks were heard`,
      fix: 'Let them come out of a loudspeaker near the microphone, turn it up, and be quiet while they sound.',
    });
  }
  const middle = median(delays);
  const near = delays.filter((d) => Math.abs(d - middle) <= AGREE);
  if (near.length < least) {
    return fail({
      message: 'the clicks came back at different times',
      fix: 'Be quiet while they sound, close other programs, and measure again.',
    });
  }
  const seconds = median(near);
  return ok({
    seconds,
    spread: Math.max(...near.map((d) => Math.abs(d - seconds))),
    heard: near.length,
  });
}

/** Seconds after which a click is heard; null where none stands out. */
function clickNear(samples: Float32Array, rate: number, at: number): number | null {
  const from = Math.max(0, Math.round((at - SOONEST) * rate));
  const to = Math.min(samples.length, Math.round((at + LATEST) * rate));
  const n = Math.round(SECONDS * rate);
  if (to - from < 4 * n) return null;
  // How much of the pitch of the click lies in a window of its length, at every few samples.
  const step = Math.max(1, Math.round(rate / 8000));
  const [cos, sin] = [Math.cos, Math.sin].map((wave) =>
    Float64Array.from({ length: n }, (_, i) => {
      const shape = Math.sin((Math.PI * (i + 0.5)) / n) ** 2;
      return shape * wave((2 * Math.PI * HERTZ * i) / rate);
    }),
  ) as [Float64Array, Float64Array];
  const strong: number[] = [];
  for (let t = from; t + n <= to; t += step) {
    let x = 0;
    let y = 0;
    for (let i = 0; i < n; i++) {
      x += samples[t + i]! * cos[i]!;
      y += samples[t + i]! * sin[i]!;
    }
    strong.push(Math.hypot(x, y));
  }
  const top = Math.max(...strong);
  if (top < OVER * median(strong) || top < 1e-4 * n) return null;
  // The first that is as strong as half of the top, then its own top: a room answers later and may be louder.
  let i = strong.findIndex((v) => v >= BEGINS * top);
  while (i + 1 < strong.length && strong[i + 1]! > strong[i]!) i += 1;
  return (from + i * step) / rate - at;
}
