import { fail, ok, type Problem, type Result } from '../../core/result';

/** The sound of a WAVE file. */
export interface WavSound {
  /** One channel, from -1 to 1: the mean of all there are. */
  readonly samples: Float32Array;
  /** Samples a second. */
  readonly rate: number;
  /** What is not as it should be and was read all the same, in words without a full stop. */
  readonly remarks: readonly string[];
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
 * First bytes of other recordings, after their formats: MPEG audio with or without ID3, Ogg (RFC 3533), FLAC (RFC 9639), ISO base
 * media, AIFF, and the forms of WAVE for more than 4 GB (EBU Tech 3306; from memory).
 */
const OTHERS: readonly (readonly [RegExp, string])[] = [
  [/^(?:ID3|\xff[\xe2-\xf3\xfa\xfb])/u, 'MP3'],
  [/^OggS/u, 'Ogg'],
  [/^fLaC/u, 'FLAC'],
  [/^.{4}ftyp/su, 'MPEG-4'],
  [/^FORM.{4}AIF/su, 'AIFF'],
  [/^(?:RF64|BW64)/u, 'WAV of the long form'],
];
/** A recording program that was cut off, or wrote into a pipe, leaves one of these for a length, or more. */
const UNKNOWN = 0x7fff_0000;
/** Where the mean of the channels has no more than this share of the power of one, they undo each other. */
const UNDONE = 0.01;

/**
 * Reads a WAVE file (RIFF, Multimedia Programming Interface 1.0; WAVE_FORMAT_EXTENSIBLE): PCM of 8, 16, 24
 * and 32 bits, floats of 32 and 64, any number of channels. A file that was not closed by the program
 * that recorded it is read to its end.
 */
export function readWav(bytes: Uint8Array): Result<WavSound> {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const word = (at: number) => String.fromCharCode(...bytes.subarray(at, at + 4));
  if (bytes.length < 12 || word(0) !== 'RIFF' || word(8) !== 'WAVE') return fail(notWav(bytes));
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
      const rest = bytes.length - begin;
      const claimed = view.getUint32(4, true);
      const isOpen = size >= UNKNOWN || (size === 0 && rest > 0 && 8 + claimed <= begin);
      const end = isOpen ? bytes.length : Math.min(bytes.length, begin + size);
      const sound = samplesOf(view, begin, end, format);
      if (isOpen) sound.remarks.push('the file was never closed: it is heard to its end');
      else if (size > rest) sound.remarks.push(cutShort(rest, size, format));
      return ok(sound);
    }
    at = begin + size + (size % 2);
  }
  return fail({ message: 'the WAV file has no sound in it', fix: AGAIN });
}

function notWav(bytes: Uint8Array): Problem {
  if (bytes.length === 0) return { message: 'the file is empty', fix: AGAIN };
  const start = String.fromCharCode(...bytes.subarray(0, 12));
  const other = OTHERS.find(([begins]) => begins.test(start));
  if (other === undefined) return { message: 'this is no WAV file', fix: AGAIN };
  return {
    message: `this is ${other[1]}, and only WAV is heard here`,
    fix: 'Save the sound as a WAV file of 16 or 24 bits, or open it under ‘Catch it’ in the app.',
  };
}

function cutShort(rest: number, size: number, f: Format): string {
  const seconds = (n: number) => (n / f.bytes / f.channels / f.rate).toFixed(1);
  return `the file is cut short: ${seconds(rest)} of its ${seconds(size)} seconds are there`;
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

function samplesOf(
  view: DataView,
  from: number,
  to: number,
  f: Format,
): { samples: Float32Array; rate: number; remarks: string[] } {
  const count = Math.floor((to - from) / (f.bytes * f.channels));
  const samples = new Float32Array(count);
  const read = readerOf(view, f);
  const powers = new Float64Array(f.channels);
  let power = 0;
  for (let i = 0, at = from; i < count; i++) {
    let sum = 0;
    for (let c = 0; c < f.channels; c++, at += f.bytes) {
      const v = finite(read(at));
      sum += v;
      powers[c]! += v * v;
    }
    samples[i] = sum / f.channels;
    power += samples[i]! ** 2;
  }
  const remarks: string[] = [];
  const most = Math.max(...powers);
  // Where one alone has sound the mean is softer, and no less.
  if (f.channels > 1 && power < (UNDONE * most) / f.channels) {
    const loudest = powers.indexOf(most);
    const step = f.bytes * f.channels;
    for (let i = 0; i < count; i++) samples[i] = finite(read(from + i * step + loudest * f.bytes));
    remarks.push(`its channels undo each other: channel ${loudest + 1} alone is heard`);
  }
  return { samples, rate: f.rate, remarks };
}

const finite = (v: number) => (Number.isFinite(v) ? v : 0);

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
