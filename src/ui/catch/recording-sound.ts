/** How a part of the recording is heard. */
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

/** One part of the recording in the whole window: several phrases have buttons for theirs. */
let now: Sounding | null = null;

/** Ends what of the recording sounds, whoever began it. */
export function silenceRecording(): void {
  end(false);
}

/**
 * Plays a part of the recording; what of it sounded before ends.
 * @param wave A WAVE file.
 * @param ended Called once, when it no longer sounds: by itself, or ended by somebody.
 * @returns ends it if it is still what sounds, and changes its speed.
 */
export function soundRecording(
  wave: Blob,
  way: RecordingWay,
  ended: (byItself: boolean) => void,
): { readonly stop: () => void; readonly slow: (speed: number) => void } {
  end(false);
  const audio = new Audio(URL.createObjectURL(wave));
  audio.preservesPitch = true;
  audio.playbackRate = way.speed / 100;
  audio.loop = way.again;
  const sounding = { audio, ended };
  now = sounding;
  const own = (byItself: boolean) => {
    if (now === sounding) end(byItself);
  };
  audio.onended = () => own(true);
  void audio.play().catch(() => own(false));
  return {
    stop: () => own(false),
    slow: (speed) => {
      audio.playbackRate = speed / 100;
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
