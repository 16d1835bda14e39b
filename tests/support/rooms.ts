import { Dice } from './generate/dice';

/** Rooms that a phrase is heard in: how long they ring (to -60 dB, seconds) and how loud beside the string. */
export const ROOMS = {
  dry: { seconds: 0.18, wet: 0.12 },
  live: { seconds: 0.6, wet: 0.3 },
} as const;
export type RoomName = keyof typeof ROOMS;

/** Noise under the loudest moment of a recording, in decibels. */
export const NOISES = [-70, -52, -38] as const;

/** Echoes a second: so many sound like a room, and can be reckoned one by one (velvet noise). */
const ECHOES = 1600;

/**
 * A sound as a microphone in a room hears it: itself, then echoes at random that die away and grow dull, and
 * noise that falls by 3 dB an octave or so, with some hum.
 * @param noise Decibels of the noise beside the peak of the sound.
 */
export function heardIn(
  x: Float32Array,
  rate: number,
  room: RoomName,
  noise: number,
  seed: number,
): Float32Array {
  const d = new Dice(seed, 77);
  const { seconds, wet } = ROOMS[room];
  const out = Float32Array.from(x);
  const count = Math.round(seconds * ECHOES);
  // All echoes together have the loudness `wet` beside the sound itself.
  const norm = wet / Math.sqrt(count * 0.145);
  let dull: Float32Array = x;
  for (let part = 0; part < 4; part++) {
    dull = duller(dull, rate, 5200 / (part + 1));
    for (let i = 0; i < count / 4; i++) {
      const at = 0.004 + (seconds * (part + d.next())) / 4;
      const gain = norm * 10 ** ((-3 * at) / seconds) * (d.chance(0.5) ? 1 : -1);
      const by = Math.round(at * rate);
      for (let k = by; k < out.length; k++) out[k]! += gain * dull[k - by]!;
    }
  }
  let peak = 1e-9;
  for (const v of out) peak = Math.max(peak, Math.abs(v));
  const level = peak * 10 ** (noise / 20);
  let pink = 0;
  for (let i = 0; i < out.length; i++) {
    const white = d.next() + d.next() + d.next() - 1.5;
    pink = 0.9 * pink + 0.3 * white;
    const hum =
      Math.sin((2 * Math.PI * 50 * i) / rate) + 0.4 * Math.sin((300 * Math.PI * i) / rate);
    out[i]! += level * (pink + 0.6 * white + 0.3 * hum);
  }
  return out;
}

function duller(x: Float32Array, rate: number, corner: number): Float32Array {
  const a = 1 - Math.exp((-2 * Math.PI * corner) / rate);
  const out = new Float32Array(x.length);
  let y = 0;
  for (let i = 0; i < x.length; i++) {
    y += a * (x[i]! - y);
    out[i] = y;
  }
  return out;
}
