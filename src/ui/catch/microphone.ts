import url from '../../sound/worklet/ear?worker&url';
import type { InputName } from './kept-delays';

/** A microphone or an input that is listened to. */
export interface Ear {
  /** Samples a second. */
  readonly rate: number;
  readonly input: InputName;
  readonly stop: () => void;
  /** The clock that plays and listens, in seconds. */
  readonly now: () => number;
  /** Plays at a time of that clock, again and again where it goes round. @returns what ends it. */
  readonly play: (samples: Float32Array<ArrayBuffer>, at: number, round: boolean) => () => void;
}

/** What comes in, and the time of its end on the clock of the ear, in seconds. */
export type TakeBlock = (block: Float32Array, until: number) => void;

/** Ids under which a browser names once more what the system has chosen for something. */
const ONCE_MORE: readonly string[] = ['', 'default', 'communications'];

export interface Input {
  readonly id: string;
  readonly name: string;
}

/** Inputs that can be chosen, each once; names are told only once listening was allowed. */
export async function inputs(): Promise<readonly Input[]> {
  const all = (await navigator.mediaDevices?.enumerateDevices()) ?? [];
  return all
    .filter((d) => d.kind === 'audioinput' && !ONCE_MORE.includes(d.deviceId))
    .map((d, i) => ({ id: d.deviceId, name: d.label === '' ? `Input ${i + 1}` : d.label }));
}

/**
 * Listens. Samples are handed on and not kept here.
 * @param input An id of `inputs`; empty for the usual one.
 * @param lost Is called when the input goes away by itself.
 * @throws an Error with what is wrong, in words.
 */
export async function openEar(input: string, take: TakeBlock, lost: () => void): Promise<Ear> {
  if (navigator.mediaDevices === undefined) {
    throw new Error(
      'This browser gives no microphone here. Open the page over https, or use a file.',
    );
  }
  let stream: MediaStream;
  try {
    stream = await navigator.mediaDevices.getUserMedia({
      audio: {
        // What is made for speech would eat notes that ring.
        echoCancellation: false,
        noiseSuppression: false,
        autoGainControl: false,
        ...(input === '' ? {} : { deviceId: { exact: input } }),
      },
    });
  } catch (e) {
    throw new Error(wordsFor(e));
  }
  const opened: { context?: AudioContext } = {};
  const stop = () => {
    for (const track of stream.getTracks()) track.stop();
    void opened.context?.close();
  };
  try {
    const context = new AudioContext({ latencyHint: 'interactive' });
    opened.context = context;
    await context.audioWorklet.addModule(url);
    const node = new AudioWorkletNode(context, 'ear', { numberOfOutputs: 0 });
    node.port.onmessage = (e: MessageEvent<{ samples: Float32Array; until: number }>) =>
      take(e.data.samples, e.data.until / context.sampleRate);
    context.createMediaStreamSource(stream).connect(node);
    const [track] = stream.getAudioTracks();
    for (const each of stream.getAudioTracks()) each.onended = lost;
    await context.resume();
    return {
      rate: context.sampleRate,
      input: { id: track?.getSettings().deviceId ?? '', name: track?.label ?? '' },
      stop,
      now: () => context.currentTime,
      play: (samples, at, round) => playIn(context, samples, at, round),
    };
  } catch (e) {
    // Whatever it is that did not work, the microphone is not left open.
    stop();
    throw new Error('What listens could not be started. Load the page again.', { cause: e });
  }
}

/** So fast a sound that is ended dies away, in seconds: cut off it would crack. */
const FADE = 0.02;

function playIn(
  context: AudioContext,
  samples: Float32Array<ArrayBuffer>,
  at: number,
  round: boolean,
): () => void {
  const buffer = context.createBuffer(1, samples.length, context.sampleRate);
  buffer.copyToChannel(samples, 0);
  const level = context.createGain();
  level.connect(context.destination);
  const source = context.createBufferSource();
  source.buffer = buffer;
  source.loop = round;
  source.connect(level);
  source.start(at);
  return () => {
    level.gain.setTargetAtTime(0, context.currentTime, FADE / 3);
    source.stop(context.currentTime + 2 * FADE);
  };
}

function wordsFor(e: unknown): string {
  const name = e instanceof DOMException ? e.name : '';
  if (name === 'NotAllowedError') {
    return 'The browser was not allowed to use the microphone. Allow it in the settings of the page, or use a file.';
  }
  if (name === 'NotFoundError' || name === 'OverconstrainedError') {
    return 'There is no microphone or other input. Connect one and try again, or use a file.';
  }
  if (name === 'NotReadableError') {
    return 'The input is in use by another program. Close that and try again.';
  }
  return 'The microphone could not be opened. Try again, or use a file.';
}

/** Most bytes of a recording: 12 minutes of six channels at 48 kHz in 24 bits; it is not taken into memory to find out. */
const MOST_BYTES = 640_000_000;

/** The sound of a file, one channel, by the decoder of the browser. @throws with what is wrong, in words. */
export async function soundOfFile(
  file: File,
): Promise<{ readonly samples: Float32Array; readonly rate: number }> {
  const RATE = 44_100;
  if (file.size > MOST_BYTES) {
    const mega = Math.round(file.size / 1e6);
    throw new Error(
      `“${file.name}” has ${mega} MB, more than 12 minutes of sound take. Cut it in pieces.`,
    );
  }
  const context = new OfflineAudioContext(1, 1, RATE);
  let buffer: AudioBuffer;
  try {
    buffer = await context.decodeAudioData(await file.arrayBuffer());
  } catch (e) {
    throw new Error(`“${file.name}” holds no sound that this browser knows. Try a WAV file.`, {
      cause: e,
    });
  }
  if (buffer.duration > 12 * 60) {
    throw new Error('The recording is longer than 12 minutes. Cut it in pieces.');
  }
  const samples = new Float32Array(buffer.length);
  for (let c = 0; c < buffer.numberOfChannels; c++) {
    const channel = buffer.getChannelData(c);
    for (let i = 0; i < samples.length; i++) samples[i]! += channel[i]! / buffer.numberOfChannels;
  }
  return { samples, rate: buffer.sampleRate };
}
