import type { CaughtPhrase } from '../../io/heard/phrases';
import { KEPT_AFTER, keptFrom } from '../../io/heard/played-for';
import { OPUS_RATE, type OpusPacket, writeOggOpus } from '../../io/ogg/write';
import { writeWav } from '../../io/wav/write';
import { resample } from '../../sound/capture/resample';
import type { KeptSound } from '../../storage/recordings';
import type { Sound } from './use-ear';

/** Bits a second: a guitar alone sounds as it was (ours, by ear). */
const BITS = 64_000;
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

/** The part of a recording that a phrase was caught from, as it is kept with it. @param id Of the phrase in the library. */
export async function soundFor(
  caught: CaughtPhrase,
  id: string,
  { samples, rate }: Sound,
): Promise<KeptSound> {
  const cut = samples.slice(
    Math.round(keptFrom(caught) * rate),
    Math.ceil((caught.to + KEPT_AFTER) * rate),
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
