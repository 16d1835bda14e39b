import { act } from 'react';
import { createRoot, type Root } from 'react-dom/client';
import { afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { userEvent } from 'vitest/browser';
import { inputWords } from '../../src/ui/catch/heard-words';
import type { PlayWith, Round, ToEar } from '../../src/ui/catch/messages';
import type { Ear } from '../../src/ui/catch/microphone';
import { useAlong } from '../../src/ui/catch/use-along';
import { useEar } from '../../src/ui/catch/use-ear';

let root: Root;
const place = document.createElement('div');

/** Inputs that were asked for; each comes when it is let through. */
let asked: {
  readonly track: MediaStreamTrack;
  readonly letThrough: () => void;
  readonly level: (level: number) => void;
}[] = [];

beforeAll(() => {
  Object.assign(globalThis, { IS_REACT_ACT_ENVIRONMENT: true });
  document.body.append(place);
  const getUserMedia = () =>
    new Promise<MediaStream>((resolve) => {
      const context = new AudioContext();
      const into = context.createMediaStreamDestination();
      const tone = new OscillatorNode(context, { frequency: 220 });
      const loud = new GainNode(context, { gain: 0.2 });
      tone.connect(loud).connect(into);
      tone.start();
      asked.push({
        track: into.stream.getAudioTracks()[0]!,
        letThrough: () => resolve(into.stream),
        level: (level) => loud.gain.setValueAtTime(level, 0),
      });
    });
  Object.defineProperty(navigator.mediaDevices, 'getUserMedia', { value: getUserMedia });
});

beforeEach(() => {
  asked = [];
  root = createRoot(place);
});

afterEach(async () => act(async () => root.unmount()));

const states = () => asked.map(({ track }) => track.readyState);

function ListenPage() {
  const { state, listen } = useEar();
  return (
    <>
      <button type="button" onClick={() => void listen('')}>
        {state.listening ? 'listening' : 'listen'}
      </button>
      {said && <p>{inputWords(state)}</p>}
    </>
  );
}

/** Whether the page says what is to be said of the input. */
let said = false;

describe('an input that is listened to', () => {
  const press = async () => userEvent.click(place.querySelector('button')!);
  const open = async () => {
    await act(async () => root.render(<ListenPage />));
    await press();
    await expect.poll(() => asked.length).toBe(1);
  };

  it('is one alone, also when it is asked for twice before the browser gives it', async () => {
    await open();
    await press();
    await expect.poll(() => asked.length).toBe(2);
    for (const { letThrough } of asked) await act(async () => letThrough());
    await expect.poll(() => place.textContent).toBe('listening');
    await expect.poll(states).toEqual(['ended', 'live']);
    await act(async () => root.unmount());
    expect(states()).toEqual(['ended', 'ended']);
    root = createRoot(place);
  });

  it.each([44_100, 48_000])(
    'is heard at %i a second, and too loud where it is, both in words',
    async (rate) => {
      const own = globalThis.AudioContext;
      globalThis.AudioContext = class extends own {
        constructor() {
          super({ sampleRate: rate });
        }
      };
      said = true;
      try {
        await open();
        await act(async () => asked[0]!.letThrough());
        await expect.poll(() => place.textContent).toContain(`at ${rate / 1000} kHz`);
        // The same input, turned up over all that there is room for.
        await act(async () => asked[0]!.level(1.4));
        await expect
          .poll(() => place.textContent)
          .toContain('It was too loud: turn the input down.');
      } finally {
        globalThis.AudioContext = own;
        said = false;
      }
    },
  );

  it('is let go where the page was left before it came', async () => {
    await open();
    await act(async () => root.unmount());
    root = createRoot(place);
    asked[0]!.letThrough();
    await expect.poll(states).toEqual(['ended']);
  });

  it('is let go where what listens does not come up', async () => {
    const own = globalThis.AudioWorkletNode;
    globalThis.AudioWorkletNode = class {
      constructor() {
        throw new Error('no processor of this name');
      }
    } as unknown as typeof AudioWorkletNode;
    try {
      await open();
      await act(async () => asked[0]!.letThrough());
      await expect.poll(states).toEqual(['ended']);
      expect(place.textContent).toBe('listen');
    } finally {
      globalThis.AudioWorkletNode = own;
    }
  });
});

let now: ReturnType<typeof useAlong>;
let [begun, ended] = [0, 0];
const ear: Ear = {
  rate: 48_000,
  input: { id: 'a', name: 'A' },
  stop: () => {},
  now: () => 1,
  play: () => {
    begun++;
    return () => ended++;
  },
};

function AlongPage() {
  now = useAlong({ current: ear });
  return null;
}

describe('what is played along with', () => {
  const round: Round = {
    countIn: new Float32Array(8),
    samples: new Float32Array(8),
    seconds: 2,
    form: null,
    notes: [],
  };

  it('is what was asked for last, whatever comes first', async () => {
    await act(async () => root.render(<AlongPage />));
    const asks: number[] = [];
    const tell = (m: ToEar) => {
      if (m.kind === 'accompany') asks.push(m.ask);
    };
    const ask = (way: PlayWith['way']) =>
      act(async () => now.along({ way, bpm: 100, lane: 'I7', key: 'C' }, tell));
    await ask('band');
    await ask('click');
    expect(asks).toHaveLength(2);
    // The band was long in the making, and comes when nobody waits for it.
    await act(async () => expect(now.come(asks[0]!, round)).toBe(false));
    expect([begun, now.way]).toEqual([0, 'click']);
    await act(async () => expect(now.come(asks[1]!, round)).toBe(true));
    expect([begun, ended]).toEqual([2, 0]);
    await ask('click');
    expect([begun, ended, now.way]).toEqual([2, 2, null]);
    await act(async () => expect(now.come(asks[1]!, null)).toBe(false));
  });
});
