import { hushOnEscape } from '../listen/hush-on-escape';

/** How a recording is heard. */
export interface RecordingWay {
  /** Percent of the speed at which it was played; the pitch stays. */
  readonly speed: number;
  /** From the beginning once more at its end. */
  readonly again: boolean;
  /** Of a file of two channels, how loud each is heard; both come out of the middle. */
  readonly sides?: Sides;
}

/** How loud the two channels are, 0 to 1. */
export interface Sides {
  readonly left: number;
  readonly right: number;
}

/** Two sounds at once keep some room for their sum. */
export const BOTH: Sides = { left: 0.75, right: 0.75 };

/** What of the recording sounds now. */
interface Sounding {
  readonly audio: HTMLAudioElement;
  readonly ended: (byItself: boolean) => void;
  readonly mixer: Mixer | null;
}

export interface SoundingRecording {
  readonly stop: () => void;
  /** Percent of the speed at which it was played. */
  readonly slow: (speed: number) => void;
  readonly repeat: (again: boolean) => void;
  /** Changes how loud the channels are, where `sides` were said. */
  readonly mix: (sides: Sides) => void;
  /** Seconds from its beginning. */
  readonly now: () => number;
}

/** One recording in the whole window: several phrases have buttons for theirs. */
let now: Sounding | null = null;
/** Whether Escape is listened to: from the first recording on. */
let hushed = false;

/** Ends what sounds of recordings, whoever began it. */
export function silenceRecording(): void {
  end(false);
}

/**
 * Plays a recording, or a part of one; what sounded before ends.
 * @param file A file of sound.
 * @param ended Called once, when it no longer sounds: by itself, or ended by somebody.
 * @param refused The browser cannot play it; called after `ended`.
 * @returns ends it if it is still what sounds, and changes how it is heard.
 */
export function soundRecording(
  file: Blob,
  way: RecordingWay,
  ended: (byItself: boolean) => void,
  refused?: () => void,
): SoundingRecording {
  end(false);
  if (!hushed) hushOnEscape(() => now !== null, silenceRecording);
  hushed = true;
  const audio = new Audio(URL.createObjectURL(file));
  audio.preservesPitch = true;
  audio.playbackRate = way.speed / 100;
  audio.loop = way.again;
  const mixer = way.sides === undefined ? null : mixerOf(audio, way.sides);
  const sounding = { audio, ended, mixer };
  now = sounding;
  const own = (byItself: boolean) => {
    if (now === sounding) end(byItself);
  };
  audio.onended = () => own(true);
  void audio.play().catch(() => {
    // One that was ended before it had begun is not refused.
    const still = now === sounding;
    own(false);
    if (still) refused?.();
  });
  return {
    stop: () => own(false),
    slow: (speed) => {
      audio.playbackRate = speed / 100;
    },
    repeat: (again) => {
      audio.loop = again;
    },
    mix: (sides) => mixer?.mix(sides),
    now: () => audio.currentTime,
  };
}

function end(byItself: boolean): void {
  const before = now;
  now = null;
  if (before === null) return;
  before.audio.pause();
  before.mixer?.end();
  URL.revokeObjectURL(before.audio.src);
  before.ended(byItself);
}

interface Mixer {
  readonly mix: (sides: Sides) => void;
  readonly end: () => void;
}

/** Made with the first file of two channels, and kept: browsers give a page few. */
let context: AudioContext | null = null;
let rest: ReturnType<typeof setTimeout> | undefined;
/** Milliseconds without a recording after which it rests. */
const RESTS = 2000;

/** So fast one channel goes down and another comes up, in seconds: faster would crack. */
const FADE = 0.01;

/** Two channels as two sounds out of the middle, each at a level of its own. */
function mixerOf(audio: HTMLAudioElement, sides: Sides): Mixer {
  context ??= new AudioContext();
  const c = context;
  const source = c.createMediaElementSource(audio);
  const split = c.createChannelSplitter(2);
  source.connect(split);
  const gains = [sides.left, sides.right].map((level, channel) => {
    const gain = c.createGain();
    gain.gain.value = level;
    split.connect(gain, channel);
    gain.connect(c.destination);
    return gain;
  });
  clearTimeout(rest);
  void c.resume();
  return {
    mix: ({ left, right }) => {
      gains[0]!.gain.setTargetAtTime(left, c.currentTime, FADE);
      gains[1]!.gain.setTargetAtTime(right, c.currentTime, FADE);
    },
    end: () => {
      for (const node of [source, split, ...gains]) node.disconnect();
      // Between recordings the device may rest; the next one most often comes at once.
      clearTimeout(rest);
      rest = setTimeout(() => void c.suspend(), RESTS);
    },
  };
}
