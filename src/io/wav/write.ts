/** Bits of a sample in a file. */
export type WavBits = 16 | 24;

const HEADER = 44;

/**
 * A WAVE file (RIFF, Multimedia Programming Interface 1.0: little endian, PCM).
 * @param samples From -1 to 1; what lies beyond is cut. Of several channels in turn.
 * @param rate Samples a second.
 */
export function writeWav(
  samples: Float32Array,
  rate: number,
  bits: WavBits = 16,
  channels = 1,
): Uint8Array<ArrayBuffer> {
  const size = bits / 8;
  const data = samples.length * size;
  // A chunk of odd length is followed by a byte that it does not count.
  const file = new Uint8Array(HEADER + data + (data % 2));
  const view = new DataView(file.buffer);
  const text = (at: number, word: string) => {
    for (let i = 0; i < word.length; i++) view.setUint8(at + i, word.charCodeAt(i));
  };
  text(0, 'RIFF');
  view.setUint32(4, file.length - 8, true);
  text(8, 'WAVEfmt ');
  view.setUint32(16, 16, true);
  view.setUint16(20, 1, true);
  view.setUint16(22, channels, true);
  view.setUint32(24, rate, true);
  view.setUint32(28, rate * size * channels, true);
  view.setUint16(32, size * channels, true);
  view.setUint16(34, bits, true);
  text(36, 'data');
  view.setUint32(40, data, true);
  const most = 2 ** (bits - 1) - 1;
  for (let i = 0, at = HEADER; i < samples.length; i++, at += size) {
    const value = Math.round(Math.max(-1, Math.min(1, samples[i]!)) * most);
    view.setUint8(at, value & 0xff);
    view.setUint8(at + 1, (value >> 8) & 0xff);
    if (bits === 24) view.setUint8(at + 2, (value >> 16) & 0xff);
  }
  return file;
}
