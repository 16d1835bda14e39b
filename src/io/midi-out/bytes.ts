/** One event of a track: when it happens and its bytes, without running status. */
export interface TrackEvent {
  /** MIDI ticks from the beginning. */
  readonly at: number;
  /** Order among events of one moment, ascending: what must be known before a note goes first. */
  readonly rank: number;
  readonly bytes: readonly number[];
}

/** A number as a variable-length quantity (Standard MIDI Files 1.0). */
export function variableLength(n: number): readonly number[] {
  const out = [n & 0x7f];
  for (let rest = n >>> 7; rest > 0; rest >>>= 7) out.unshift((rest & 0x7f) | 0x80);
  return out;
}

/** A meta event: type and contents. */
export function meta(type: number, contents: readonly number[]): readonly number[] {
  return [0xff, type, ...variableLength(contents.length), ...contents];
}

/** A meta event of text; characters beyond ASCII are written as UTF-8. */
export function textMeta(type: number, text: string): readonly number[] {
  return meta(type, [...utf8(text)]);
}

/** UTF-8 without an encoder, which the core's surroundings do not have. */
function utf8(text: string): readonly number[] {
  const bytes: number[] = [];
  for (const ch of text) {
    const c = ch.codePointAt(0)!;
    if (c < 0x80) bytes.push(c);
    else if (c < 0x800) bytes.push(0xc0 | (c >> 6), 0x80 | (c & 0x3f));
    else if (c < 0x1_0000)
      bytes.push(0xe0 | (c >> 12), 0x80 | ((c >> 6) & 0x3f), 0x80 | (c & 0x3f));
    else {
      bytes.push(0xf0 | (c >> 18), 0x80 | ((c >> 12) & 0x3f));
      bytes.push(0x80 | ((c >> 6) & 0x3f), 0x80 | (c & 0x3f));
    }
  }
  return bytes;
}

/**
 * A Standard MIDI File of format 1 (Standard MIDI Files 1.0). `division`: ticks to a quarter.
 * @param length Ticks at which the first track ends, where nothing in it is later.
 */
export function midiFile(
  division: number,
  tracks: readonly (readonly TrackEvent[])[],
  length = 0,
): Uint8Array<ArrayBuffer> {
  const header = [...ascii('MThd'), ...u32(6), ...u16(1), ...u16(tracks.length), ...u16(division)];
  const chunks = tracks.map((t, i) => trackChunk(t, i === 0 ? length : 0));
  const size = header.length + chunks.reduce((sum, c) => sum + c.length, 0);
  const file = new Uint8Array(size);
  file.set(header);
  let at = header.length;
  for (const c of chunks) {
    file.set(c, at);
    at += c.length;
  }
  return file;
}

function trackChunk(events: readonly TrackEvent[], length: number): Uint8Array {
  const sorted = [...events].sort((a, b) => a.at - b.at || a.rank - b.rank);
  const body: number[] = [];
  let last = 0;
  for (const e of sorted) {
    for (const b of variableLength(e.at - last)) body.push(b);
    for (const b of e.bytes) body.push(b);
    last = e.at;
  }
  body.push(...variableLength(Math.max(0, length - last)), ...meta(0x2f, []));
  return Uint8Array.from([...ascii('MTrk'), ...u32(body.length)].concat(body));
}

function ascii(text: string): readonly number[] {
  return [...text].map((c) => c.charCodeAt(0));
}

function u16(n: number): readonly number[] {
  return [(n >> 8) & 0xff, n & 0xff];
}

function u32(n: number): readonly number[] {
  return [(n >>> 24) & 0xff, (n >>> 16) & 0xff, (n >>> 8) & 0xff, n & 0xff];
}
