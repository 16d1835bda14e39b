/** What the keys of a keyboard, a headset or a lock screen do. */
export interface MediaKeys {
  /** Something is played: the keys are ours. */
  readonly playing: (title: string) => void;
  readonly silent: () => void;
}

/**
 * Media keys and the lock screen (W3C Media Session). Browsers give them to a page in which an audio
 * element plays, which computed sound is not: a silent one plays along.
 * @param press Plays what was heard last, stops, or goes on with the next round.
 */
export function createMediaKeys(press: (wish: 'play' | 'stop' | 'next') => void): MediaKeys {
  if (!('mediaSession' in navigator)) return { playing: () => {}, silent: () => {} };
  const session = navigator.mediaSession;
  const silence = silentElement();
  session.setActionHandler('play', () => press('play'));
  session.setActionHandler('pause', () => press('stop'));
  session.setActionHandler('stop', () => press('stop'));
  session.setActionHandler('nexttrack', () => press('next'));
  return {
    playing(title) {
      session.metadata = new MediaMetadata({ title, artist: 'Degreewise' });
      session.playbackState = 'playing';
      // Where it may not play, the keys stay with whoever has them.
      silence.play().catch(() => {});
    },
    silent() {
      session.playbackState = 'paused';
      silence.pause();
    },
  };
}

const RATE = 8000;
/** Chromium gives its keys only to what lasts longer than five seconds. */
const SECONDS = 6;

/** An audio element that plays nothing: a WAVE file of 8 bits, in which 128 is silence. */
function silentElement(): HTMLAudioElement {
  const size = RATE * SECONDS;
  const file = new DataView(new ArrayBuffer(44 + size));
  const text = (at: number, word: string) => {
    for (let i = 0; i < word.length; i++) file.setUint8(at + i, word.charCodeAt(i));
  };
  text(0, 'RIFF');
  file.setUint32(4, 36 + size, true);
  text(8, 'WAVEfmt ');
  file.setUint32(16, 16, true);
  file.setUint16(20, 1, true);
  file.setUint16(22, 1, true);
  file.setUint32(24, RATE, true);
  file.setUint32(28, RATE, true);
  file.setUint16(32, 1, true);
  file.setUint16(34, 8, true);
  text(36, 'data');
  file.setUint32(40, size, true);
  new Uint8Array(file.buffer, 44).fill(128);
  const element = new Audio(URL.createObjectURL(new Blob([file.buffer], { type: 'audio/wav' })));
  element.loop = true;
  return element;
}
