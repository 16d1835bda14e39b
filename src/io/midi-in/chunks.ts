import { fail, ok, type Result } from '../../core/result';

/** A file cut into its chunks. */
export interface Chunks {
  /** Ticks to a quarter. */
  readonly division: number;
  readonly tracks: readonly TrackChunk[];
}

export interface TrackChunk {
  /** Byte at which it begins. */
  readonly at: number;
  /** A whole file that holds this track alone. */
  readonly file: Uint8Array;
}

const HEADER = 14;

/** More tracks than these are not looked at. */
const MOST_TRACKS = 1_000;

/**
 * Cuts a Standard MIDI File into its chunks (Standard MIDI Files 1.0). Chunks of other kinds are passed
 * over, as the standard asks.
 */
export function chunksOf(bytes: Uint8Array): Result<Chunks> {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const kind = (at: number) => String.fromCharCode(...bytes.subarray(at, at + 4));
  const again = 'Save the file again from the program that made it.';
  if (bytes.length < HEADER || kind(0) !== 'MThd' || view.getUint32(4) < 6) {
    return fail({ message: 'the MIDI file has no whole header', fix: again });
  }
  const format = view.getUint16(8);
  const division = view.getUint16(12);
  if (format > 2) {
    return fail({
      message: `MIDI files of format ${format} are not known`,
      fix: 'Save it as format 0 or 1.',
    });
  }
  if ((division & 0x8000) !== 0 || division === 0) {
    return fail({
      message:
        'the MIDI file counts frames of film and not beats, so that it has no rhythm to be written',
      fix: 'Save it with ticks to a quarter note.',
    });
  }
  const tracks: TrackChunk[] = [];
  let at = 8 + view.getUint32(4);
  while (at + 8 <= bytes.length) {
    const size = view.getUint32(at + 4);
    const end = at + 8 + size;
    // What stands behind the last track that the header counts is none.
    if (end > bytes.length && tracks.length > 0 && tracks.length >= view.getUint16(10)) break;
    if (end > bytes.length) {
      return fail({
        message: `the file ends before its track ${tracks.length + 1}, which begins at byte ${at} and should have ${size} bytes`,
        fix: 'Get the whole file once more.',
      });
    }
    if (kind(at) === 'MTrk') {
      if (tracks.length >= MOST_TRACKS) {
        return fail({
          message: `the file has more than ${MOST_TRACKS} tracks`,
          fix: 'Export fewer.',
        });
      }
      const file = new Uint8Array(HEADER + 8 + size);
      file.set([0x4d, 0x54, 0x68, 0x64, 0, 0, 0, 6, 0, 0, 0, 1, division >> 8, division & 0xff]);
      file.set(bytes.subarray(at, end), HEADER);
      tracks.push({ at, file });
    }
    at = end;
  }
  if (tracks.length === 0) return fail({ message: 'the MIDI file has no track', fix: again });
  return ok({ division, tracks });
}
