/** How a recording is heard. */
export interface RecordingWay {
  /** Percent of the speed at which it was played; the pitch stays. */
  readonly speed: number;
  /** From the beginning once more at its end. */
  readonly again: boolean;
}

/** What of the recording sounds now. */
interface Sounding {
  readonly audio: HTMLAudioElement;
  readonly ended: (byItself: boolean) => void;
}

export interface SoundingRecording {
  readonly stop: () => void;
  /** Percent of the speed at which it was played. */
  readonly slow: (speed: number) => void;
  readonly repeat: (again: boolean) => void;
}

/** One recording in the whole window: several phrases have buttons for theirs. */
let now: Sounding | null = null;

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
  const audio = new Audio(URL.createObjectURL(file));
  audio.preservesPitch = true;
  audio.playbackRate = way.speed / 100;
  audio.loop = way.again;
  const sounding = { audio, ended };
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
  };
}

function end(byItself: boolean): void {
  const before = now;
  now = null;
  if (before === null) return;
  before.audio.pause();
  URL.revokeObjectURL(before.audio.src);
  before.ended(byItself);
}
