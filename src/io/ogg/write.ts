/** A packet of Opus, as an encoder gives it. */
export interface OpusPacket {
  readonly bytes: Uint8Array;
  /** Samples at 48 kHz that it lasts. */
  readonly samples: number;
}

/** Opus counts in these whatever the sound had (RFC 7845, section 4). */
export const OPUS_RATE = 48_000;
/** Samples at the beginning that an encoder needs to get going and a player leaves out (usual for libopus). */
export const OPUS_SKIP = 312;
/** Any number tells one stream of a file from another; there is one. */
const SERIAL = 1;
/** Segments of a page at most (RFC 3533, section 6). */
const MOST_SEGMENTS = 255;

/**
 * A file of one channel of Opus: packets in pages of Ogg (RFC 3533 and RFC 7845).
 * @param packets At least one.
 * @param length Samples at 48 kHz that are heard, what encoding adds at both ends left out.
 */
export function writeOggOpus(
  packets: readonly OpusPacket[],
  length: number,
): Uint8Array<ArrayBuffer> {
  const pages: Uint8Array[] = [
    page([head()], { number: 0, at: 0, first: true }),
    page([tags()], { number: 1, at: 0 }),
  ];
  let at = 0;
  let now: Uint8Array[] = [];
  let segments = 0;
  packets.forEach((p, i) => {
    const own = Math.floor(p.bytes.length / 255) + 1;
    if (segments + own > MOST_SEGMENTS) {
      pages.push(page(now, { number: pages.length, at }));
      now = [];
      segments = 0;
    }
    now.push(p.bytes);
    segments += own;
    at += p.samples;
    if (i === packets.length - 1) {
      // The last page says where the sound ends, before the end of its last packet.
      const end = Math.min(at, OPUS_SKIP + length);
      pages.push(page(now, { number: pages.length, at: end, last: true }));
    }
  });
  const file = new Uint8Array(pages.reduce((sum, p) => sum + p.length, 0));
  let to = 0;
  for (const p of pages) {
    file.set(p, to);
    to += p.length;
  }
  return file;
}

/** RFC 7845, section 5.1. */
function head(): Uint8Array {
  const bytes = new Uint8Array(19);
  const view = new DataView(bytes.buffer);
  bytes.set(ascii('OpusHead'));
  bytes[8] = 1;
  bytes[9] = 1;
  view.setUint16(10, OPUS_SKIP, true);
  view.setUint32(12, OPUS_RATE, true);
  return bytes;
}

/** RFC 7845, section 5.2: who wrote it, and no remarks. */
function tags(): Uint8Array {
  const who = ascii('Degreewise');
  const bytes = new Uint8Array(16 + who.length);
  const view = new DataView(bytes.buffer);
  bytes.set(ascii('OpusTags'));
  view.setUint32(8, who.length, true);
  bytes.set(who, 12);
  return bytes;
}

function ascii(text: string): Uint8Array {
  return Uint8Array.from(text, (c) => c.charCodeAt(0));
}

interface PageOptions {
  readonly number: number;
  /** Samples that have ended with it. */
  readonly at: number;
  readonly first?: boolean;
  readonly last?: boolean;
}

/** RFC 3533, section 6: whole packets, none goes on from page to page. */
function page(packets: readonly Uint8Array[], o: PageOptions): Uint8Array {
  const lacing = packets.flatMap((p) => [
    ...Array.from({ length: Math.floor(p.length / 255) }, () => 255),
    p.length % 255,
  ]);
  const size = packets.reduce((sum, p) => sum + p.length, 0);
  const bytes = new Uint8Array(27 + lacing.length + size);
  const view = new DataView(bytes.buffer);
  bytes.set(ascii('OggS'));
  bytes[5] = (o.first === true ? 2 : 0) | (o.last === true ? 4 : 0);
  view.setBigUint64(6, BigInt(o.at), true);
  view.setUint32(14, SERIAL, true);
  view.setUint32(18, o.number, true);
  bytes[26] = lacing.length;
  bytes.set(lacing, 27);
  let to = 27 + lacing.length;
  for (const p of packets) {
    bytes.set(p, to);
    to += p.length;
  }
  view.setUint32(22, checksum(bytes), true);
  return bytes;
}

/** CRC-32 with 0x04c11db7, from zero, not turned round (RFC 3533, section 6). */
const TABLE = Uint32Array.from({ length: 256 }, (_, i) => {
  let r = i << 24;
  for (let k = 0; k < 8; k++) r = (r & 0x80000000) !== 0 ? (r << 1) ^ 0x04c11db7 : r << 1;
  return r >>> 0;
});

function checksum(bytes: Uint8Array): number {
  let sum = 0;
  for (const b of bytes) sum = ((sum << 8) ^ TABLE[((sum >>> 24) ^ b) & 0xff]!) >>> 0;
  return sum;
}
