import {
  type AsPlayed,
  MOST_CORRECTED,
  PLAYED_VERSION,
  playedSound,
} from '../../core/heard/played';
import { notesOf } from '../../core/phrase/walk';
import type { CaughtPhrase } from '../../io/heard/phrases';
import { OPUS_RATE, type OpusPacket, writeOggOpus } from '../../io/ogg/write';
import { writeWav } from '../../io/wav/write';
import { resample } from '../../sound/capture/resample';
import type { KeptSound } from '../../storage/recordings';
import type { Sound } from './use-ear';

/** Bits a second: a guitar alone sounds as it was (ours, by ear). */
const BITS = 64_000;
/** What goes with a phrase before its first note and after its last, in seconds. */
const BEFORE = 0.3;
const AFTER = 0.5;
/** Samples a second where the browser does not compress. */
const PLAIN_RATE = 22_050;

const OPUS: AudioEncoderConfig = {
  codec: 'opus',
  sampleRate: OPUS_RATE,
  numberOfChannels: 1,
  bitrate: BITS,
};

/** Bytes that a second of recording takes on this device. */
export async function bytesASecond(): Promise<number> {
  return (await compresses()) ? BITS / 8 : 2 * PLAIN_RATE;
}

async function compresses(): Promise<boolean> {
  if (typeof AudioEncoder === 'undefined') return false;
  return (await AudioEncoder.isConfigSupported(OPUS).catch(() => null))?.supported === true;
}

/** Seconds of sound that are kept with a phrase, at most. */
export function secondsOf({ from, to }: CaughtPhrase): number {
  return BEFORE + to - from + AFTER;
}

/** The second of the recording from which a phrase is kept. */
const keptFrom = ({ from }: CaughtPhrase): number => Math.max(0, from - BEFORE);

/**
 * How a phrase was played, beside what is written.
 * @param id Of the phrase in the library.
 * @param bars Seconds of the recording at which bars begin.
 * @param corrected What was changed of what was heard, in words.
 */
export function playedFor(
  caught: CaughtPhrase,
  id: string,
  bars: readonly number[],
  kept: string,
  corrected: readonly string[],
): AsPlayed {
  const { phrase, heard, to, begin } = caught;
  const from = keptFrom(caught);
  const end = to + AFTER;
  const sounds = notesOf(phrase).flatMap(({ note }) => {
    const n = heard.get(note.id);
    return n === undefined ? [] : [playedSound(note.id, n, from)];
  });
  return {
    ...{ format: 'degreewise-played', version: PLAYED_VERSION, id, kept },
    seconds: end - from,
    begin: begin - from,
    bars: bars.filter((at) => at >= from && at <= end).map((at) => at - from),
    sounds: sounds.sort((a, b) => a.onset - b.onset),
    corrected: corrected.slice(-MOST_CORRECTED),
  };
}

/** The part of a recording that a phrase was caught from, as it is kept with it. @param id Of the phrase in the library. */
export async function soundFor(
  caught: CaughtPhrase,
  id: string,
  { samples, rate }: Sound,
): Promise<KeptSound> {
  const cut = samples.slice(
    Math.round(keptFrom(caught) * rate),
    Math.ceil((caught.to + AFTER) * rate),
  );
  return { id, ...((await compresses()) ? await asOpus(cut, rate) : asWav(cut, rate)) };
}

function asWav(samples: Float32Array, rate: number) {
  const file = writeWav(resample(samples, rate, PLAIN_RATE), PLAIN_RATE);
  return { type: 'audio/wav', sound: file.buffer };
}

async function asOpus(samples: Float32Array, rate: number) {
  const x = resample(samples, rate, OPUS_RATE);
  const packets: OpusPacket[] = [];
  const failed = { reason: null as Error | null };
  const encoder = new AudioEncoder({
    output: (chunk) => {
      const bytes = new Uint8Array(chunk.byteLength);
      chunk.copyTo(bytes);
      const seconds = (chunk.duration ?? 20_000) / 1e6;
      packets.push({ bytes, samples: Math.round(seconds * OPUS_RATE) });
    },
    error: (reason) => {
      failed.reason = reason;
    },
  });
  encoder.configure(OPUS);
  const data = new AudioData({
    format: 'f32-planar',
    sampleRate: OPUS_RATE,
    numberOfFrames: x.length,
    numberOfChannels: 1,
    timestamp: 0,
    data: new Float32Array(x),
  });
  encoder.encode(data);
  data.close();
  await encoder.flush();
  encoder.close();
  if (failed.reason !== null) throw failed.reason;
  return { type: 'audio/ogg', sound: writeOggOpus(packets, x.length).buffer };
}
