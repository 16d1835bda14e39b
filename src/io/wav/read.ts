import { fail, ok, type Result } from '../../core/result';

/** The sound of a WAVE file. */
export interface WavSound {
  /** One channel, from -1 to 1: the mean of all there are. */
  readonly samples: Float32Array;
  /** Samples a second. */
  readonly rate: number;
}

const PCM = 1;
const FLOAT = 3;
/** The format stands in the first two bytes of the sub-format. */
const EXTENSIBLE = 0xfffe;

const LEAST_RATE = 8_000;
const MOST_RATE = 384_000;
const MOST_CHANNELS = 64;

const AGAIN = 'Save the sound as a WAV file of 16 or 24 bits.';

/**
 * Reads a WAVE file (RIFF, Multimedia Programming Interface 1.0; WAVE_FORMAT_EXTENSIBLE): PCM of 8, 16, 24
 * and 32 bits, floats of 32 and 64, any number of channels. A file that was not closed by the program
 * that recorded it is read to its end.
 */
export function readWav(bytes: Uint8Array): Result<WavSound> {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const word = (at: number) => String.fromCharCode(...bytes.subarray(at, at + 4));
  if (bytes.length < 12 || word(0) !== 'RIFF' || word(8) !== 'WAVE') {
    return fail({ message: 'this is no WAV file', fix: AGAIN });
  }
  let format: Format | null = null;
  for (let at = 12; at + 8 <= bytes.length; ) {
    const kind = word(at);
    const size = view.getUint32(at + 4, true);
    const begin = at + 8;
    if (kind === 'fmt ') {
      const read = formatOf(view, begin, size);
      if (!read.ok) return read;
      format = read.value;
    } else if (kind === 'data') {
      if (format === null) {
        return fail({ message: 'the WAV file does not say how its sound is written', fix: AGAIN });
      }
      const end = Math.min(bytes.length, begin + size);
      return samplesOf(view, begin, end, format);
    }
    at = begin + size + (size % 2);
  }
  return fail({ message: 'the WAV file has no sound in it', fix: AGAIN });
}

interface Format {
  readonly channels: number;
  readonly rate: number;
  readonly bytes: number;
  readonly float: boolean;
}

function formatOf(view: DataView, at: number, size: number): Result<Format> {
  if (size < 16 || at + size > view.byteLength) {
    return fail({ message: 'the WAV file ends in its header', fix: AGAIN });
  }
  const tag = view.getUint16(at, true);
  const kind = tag === EXTENSIBLE && size >= 26 ? view.getUint16(at + 24, true) : tag;
  const channels = view.getUint16(at + 2, true);
  const rate = view.getUint32(at + 4, true);
  const bits = view.getUint16(at + 14, true);
  const known =
    kind === PCM ? [8, 16, 24, 32].includes(bits) : kind === FLOAT && [32, 64].includes(bits);
  if (!known) {
    const what = kind === PCM || kind === FLOAT ? `${bits} bits a sample` : 'compressed sound';
    return fail({ message: `the WAV file holds ${what}, which is not read`, fix: AGAIN });
  }
  if (channels < 1 || channels > MOST_CHANNELS) {
    return fail({ message: `the WAV file has ${channels} channels`, fix: AGAIN });
  }
  if (rate < LEAST_RATE || rate > MOST_RATE) {
    return fail({
      message: `the WAV file has ${rate} samples a second`,
      fix: `Save it with ${LEAST_RATE} to ${MOST_RATE}, best 44100 or 48000.`,
    });
  }
  return ok({ channels, rate, bytes: bits / 8, float: kind === FLOAT });
}

function samplesOf(view: DataView, from: number, to: number, f: Format): Result<WavSound> {
  const count = Math.floor((to - from) / (f.bytes * f.channels));
  const samples = new Float32Array(count);
  const read = readerOf(view, f);
  for (let i = 0, at = from; i < count; i++) {
    let sum = 0;
    for (let c = 0; c < f.channels; c++, at += f.bytes) sum += read(at);
    const value = sum / f.channels;
    samples[i] = Number.isFinite(value) ? value : 0;
  }
  return ok({ samples, rate: f.rate });
}

function readerOf(view: DataView, { bytes, float }: Format): (at: number) => number {
  if (float) {
    return bytes === 4 ? (at) => view.getFloat32(at, true) : (at) => view.getFloat64(at, true);
  }
  switch (bytes) {
    case 1:
      return (at) => (view.getUint8(at) - 128) / 128;
    case 2:
      return (at) => view.getInt16(at, true) / 2 ** 15;
    case 3:
      return (at) => (view.getUint16(at, true) | (view.getInt8(at + 2) << 16)) / 2 ** 23;
    default:
      return (at) => view.getInt32(at, true) / 2 ** 31;
  }
}
