import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readWav } from '../../../src/io/wav/read';
import { writeWav } from '../../../src/io/wav/write';

/** A WAVE file written by hand, after Multimedia Programming Interface 1.0. */
function wav(o: {
  readonly tag?: number;
  readonly channels?: number;
  readonly rate?: number;
  readonly bits?: number;
  readonly data?: readonly number[];
  readonly size?: number;
  readonly whole?: number;
}): Uint8Array {
  const { tag = 1, channels = 1, rate = 44_100, bits = 16, data = [], size = data.length } = o;
  const { whole = 48 + data.length } = o;
  const le = (n: number, bytes: number) =>
    Array.from({ length: bytes }, (_, i) => Math.floor(n / 256 ** i) % 256);
  const text = (s: string) => [...s].map((c) => c.charCodeAt(0));
  const fmt = [
    ...[...le(tag, 2), ...le(channels, 2), ...le(rate, 4)],
    ...[...le((rate * channels * bits) / 8, 4), ...le((channels * bits) / 8, 2), ...le(bits, 2)],
  ];
  return Uint8Array.from([
    ...[...text('RIFF'), ...le(whole, 4), ...text('WAVE')],
    // A chunk nobody knows, of odd length.
    ...[...text('junk'), ...le(3, 4), 1, 2, 3, 0],
    ...[...text('fmt '), ...le(16, 4), ...fmt, ...text('data'), ...le(size, 4), ...data],
  ]);
}

const samplesOf = (bytes: Uint8Array) => {
  const read = readWav(bytes);
  if (!read.ok) throw new Error(read.problems[0]!.message);
  return [...read.value.samples];
};
const refusal = (bytes: Uint8Array) => {
  const read = readWav(bytes);
  return read.ok ? null : `${read.problems[0]!.message}. ${read.problems[0]!.fix}`;
};

describe('reading WAV files', () => {
  it('reads back what it writes, in 16 and 24 bits', () => {
    fc.assert(
      fc.property(
        fc.array(fc.float({ min: -1, max: 1, noNaN: true }), { maxLength: 40 }),
        fc.constantFrom(16 as const, 24 as const),
        (list, bits) => {
          const read = readWav(writeWav(Float32Array.from(list), 48_000, bits));
          if (!read.ok) return false;
          expect(read.value.rate).toBe(48_000);
          return read.value.samples.every((v, i) => Math.abs(v - list[i]!) <= 2 ** (2 - bits));
        },
      ),
      { numRuns: 40 },
    );
  });

  it('reads every width, floats and several channels', () => {
    expect(samplesOf(wav({ data: [0, 0x40, 0, 0xc0] }))).toEqual([0.5, -0.5]);
    expect(samplesOf(wav({ bits: 24, data: [0, 0, 0x40, 0, 0, 0xc0] }))).toEqual([0.5, -0.5]);
    expect(samplesOf(wav({ bits: 8, data: [128, 192, 64] }))).toEqual([0, 0.5, -0.5]);
    expect(samplesOf(wav({ bits: 32, data: [0, 0, 0, 0x40] }))).toEqual([0.5]);
    const floats = [...new Uint8Array(Float32Array.of(0.25, -0.75).buffer)];
    expect(samplesOf(wav({ tag: 3, bits: 32, data: floats }))).toEqual([0.25, -0.75]);
    expect(samplesOf(wav({ tag: 3, bits: 32, channels: 2, data: floats }))).toEqual([-0.25]);
  });

  it('reads a file that was never closed to its end, and one that is cut short, and says so', () => {
    const said = (bytes: Uint8Array) => {
      const read = readWav(bytes);
      return read.ok ? [...read.value.remarks, read.value.samples.length] : [];
    };
    const data = [0, 0x40, 0, 0x40];
    for (const o of [{ size: 0xffffffff }, { size: 0, whole: 0 }, { size: 0, whole: 36 }]) {
      expect(said(wav({ data, ...o }))).toEqual([
        'the file was never closed: it is heard to its end',
        2,
      ]);
    }
    // A part that is empty, with another one after it.
    expect(said(wav({ data: [1, 2, 3, 4], size: 0 }))).toEqual([0]);
    expect(said(wav({ rate: 10_000, data: Array(10_000).fill(0), size: 50_000 }))).toEqual([
      'the file is cut short: 0.5 of its 2.5 seconds are there',
      5000,
    ]);
    expect(said(wav({ data }))).toEqual([2]);
  });

  it('hears one channel where two undo each other, and the mean where one is silent', () => {
    const one = [0, 0x40, 0, 0xc0];
    const read = readWav(wav({ channels: 2, data: one }));
    expect(read.ok && read.value.remarks).toEqual([
      'its channels undo each other: channel 1 alone is heard',
    ]);
    expect(samplesOf(wav({ channels: 2, data: one }))).toEqual([0.5]);
    expect(samplesOf(wav({ channels: 2, data: [0, 0x40, 0, 0] }))).toEqual([0.25]);
  });

  it('reads a file that was never closed', () => {
    expect(samplesOf(wav({ data: [0, 0x40, 0, 0x40, 7], size: 0xffffffff }))).toEqual([0.5, 0.5]);
  });

  it('says what is wrong and what to do', () => {
    expect(refusal(Uint8Array.from([1, 2, 3]))).toMatch(/no WAV file\. Save the sound as a WAV/u);
    expect(refusal(new Uint8Array(0))).toMatch(/the file is empty/u);
    const others = { MP3: 'ID3\x04', Ogg: 'OggS', FLAC: 'fLaC', 'MPEG-4': '\0\0\0 ftypM4A ' };
    for (const [name, start] of Object.entries(others)) {
      const bytes = Uint8Array.from(
        [...start, ...Array(40).keys()].map((c) => (typeof c === 'string' ? c.charCodeAt(0) : c)),
      );
      expect(refusal(bytes)).toMatch(new RegExp(`this is ${name}, .*Catch it`, 'u'));
    }
    expect(refusal(Uint8Array.from([0xff, 0xfb, ...Array(40).keys()]))).toMatch(/this is MP3/u);
    expect(refusal(wav({ tag: 2, bits: 4 }))).toMatch(/compressed sound, which is not read/u);
    expect(refusal(wav({ bits: 12 }))).toMatch(/12 bits a sample/u);
    expect(refusal(wav({ rate: 100 }))).toMatch(/100 samples a second/u);
    expect(refusal(wav({}).subarray(0, 40))).toMatch(/header/u);
    expect(refusal(wav({}).subarray(0, 48))).toMatch(/no sound in it/u);
  });
});
