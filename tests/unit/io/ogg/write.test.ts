import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { OPUS_SKIP, writeOggOpus } from '../../../../src/io/ogg/write';

/** Pages of a file read back by the rules of RFC 3533, written apart from the writer. */
function pagesOf(file: Uint8Array) {
  const pages: { flags: number; at: number; number: number; packets: number[][] }[] = [];
  const view = new DataView(file.buffer, file.byteOffset);
  for (let p = 0; p < file.length; ) {
    expect(String.fromCharCode(...file.subarray(p, p + 4))).toBe('OggS');
    const count = file[p + 26]!;
    const lacing = [...file.subarray(p + 27, p + 27 + count)];
    const end = p + 27 + count + lacing.reduce((a, b) => a + b, 0);
    // The sum, bit by bit, over the page with its own field empty.
    let sum = 0n;
    for (let i = p; i < end; i++) {
      const byte = i >= p + 22 && i < p + 26 ? 0 : file[i]!;
      for (let bit = 7; bit >= 0; bit--) {
        const top = ((sum >> 31n) & 1n) ^ BigInt((byte >> bit) & 1);
        sum = ((sum << 1n) & 0xffffffffn) ^ (top === 1n ? 0x04c11db7n : 0n);
      }
    }
    expect(view.getUint32(p + 22, true)).toBe(Number(sum));
    const packets: number[][] = [];
    let now: number[] = [];
    let at = p + 27 + count;
    for (const size of lacing) {
      now.push(...file.subarray(at, at + size));
      at += size;
      if (size < 255) {
        packets.push(now);
        now = [];
      }
    }
    expect(now).toEqual([]);
    pages.push({
      flags: file[p + 5]!,
      at: Number(view.getBigUint64(p + 6, true)),
      number: view.getUint32(p + 18, true),
      packets,
    });
    p = end;
  }
  return pages;
}

describe('a file of Opus', () => {
  it('has its packets in pages that count up, with sums that are right, and says where it ends', () => {
    const packet = fc.uint8Array({ minLength: 0, maxLength: 600 });
    fc.assert(
      fc.property(fc.array(packet, { minLength: 1, maxLength: 12 }), (packets) => {
        const length = 960 * packets.length - 500;
        const file = writeOggOpus(
          packets.map((bytes) => ({ bytes, samples: 960 })),
          length,
        );
        const [head, tags, ...sound] = pagesOf(file);
        expect(head!.flags).toBe(2);
        expect(String.fromCharCode(...head!.packets[0]!.slice(0, 8))).toBe('OpusHead');
        expect(String.fromCharCode(...tags!.packets[0]!.slice(0, 8))).toBe('OpusTags');
        expect(sound.flatMap((p) => p.packets)).toEqual(packets.map((b) => [...b]));
        expect([head!, tags!, ...sound].map((p) => p.number)).toEqual(
          [head, tags, ...sound].map((_, i) => i),
        );
        expect(sound.at(-1)!.flags).toBe(4);
        expect(sound.at(-1)!.at).toBe(Math.min(960 * packets.length, OPUS_SKIP + length));
      }),
      { numRuns: 12 },
    );
  });

  it('begins another page where one is full', () => {
    const packets = Array.from({ length: 600 }, () => ({
      bytes: new Uint8Array(20),
      samples: 960,
    }));
    const sound = pagesOf(writeOggOpus(packets, 960 * 600)).slice(2);
    expect(sound.map((p) => p.packets.length)).toEqual([255, 255, 90]);
    expect(sound[0]!.at).toBe(255 * 960);
  });
});
