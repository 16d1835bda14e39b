import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { hushOnEscape } from '../../../../src/ui/frame/listen/hush-on-escape';
import {
  silenceRecording,
  soundRecording,
} from '../../../../src/ui/frame/recording/recording-sound';

/** An audio element that plays until it is told to end. */
class FakeAudio {
  static readonly all: FakeAudio[] = [];
  paused = true;
  playbackRate = 1;
  loop = false;
  preservesPitch = false;
  onended: (() => void) | null = null;
  constructor(readonly src: string) {
    FakeAudio.all.push(this);
  }
  async play() {
    this.paused = false;
  }
  pause() {
    this.paused = true;
  }
}

const sounding = () => FakeAudio.all.filter((a) => !a.paused).length;
const play = (ended = vi.fn()) => ({
  ended,
  ...soundRecording(new Blob([]), { speed: 50, again: false }, ended),
});

beforeEach(() => vi.stubGlobal('Audio', FakeAudio));
afterEach(() => {
  silenceRecording();
  FakeAudio.all.length = 0;
  vi.unstubAllGlobals();
});

it('Escape silences whatever sounds at once, and is left to others where nothing does', () => {
  vi.stubGlobal('document', { querySelector: () => null });
  vi.stubGlobal('Element', class {});
  const heard = new EventTarget();
  vi.stubGlobal('window', heard);
  let sounds = [true, true];
  for (const i of [0, 1]) {
    hushOnEscape(
      () => sounds[i]!,
      () => {
        sounds[i] = false;
      },
    );
  }
  const press = () => {
    const e = Object.assign(new Event('keydown', { cancelable: true }), { key: 'Escape' });
    heard.dispatchEvent(e);
    return e.defaultPrevented;
  };
  expect([press(), sounds]).toEqual([true, [false, false]]);
  expect(press()).toBe(false);
  sounds = [false, true];
  expect([press(), sounds]).toEqual([true, [false, false]]);
});

describe('parts of a recording', () => {
  it('sound one at a time, and each is told once how it ended', () => {
    const first = play();
    expect(FakeAudio.all[0]).toMatchObject({ paused: false, playbackRate: 0.5 });
    const second = play();
    expect(sounding()).toBe(1);
    expect(first.ended.mock.calls).toEqual([[false]]);
    // It is over: it ends nobody else's.
    first.stop();
    expect(sounding()).toBe(1);
    FakeAudio.all[1]!.onended!();
    expect(second.ended.mock.calls).toEqual([[true]]);
    expect(sounding()).toBe(0);
    silenceRecording();
    expect(second.ended).toHaveBeenCalledTimes(1);
  });

  it('that follow by themselves begin when the one before is over', () => {
    const next = vi.fn();
    const first = play(vi.fn((byItself: boolean) => byItself && play(next)));
    FakeAudio.all[0]!.onended!();
    expect(first.ended).toHaveBeenCalledTimes(1);
    expect(sounding()).toBe(1);
    silenceRecording();
    expect(next.mock.calls).toEqual([[false]]);
  });
});
