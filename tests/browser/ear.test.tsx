import { act } from 'react';
import { createRoot, type Root } from 'react-dom/client';
import { afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { userEvent } from 'vitest/browser';
import { inputWords } from '../../src/ui/catch/heard-words';
import type { PlayWith, Round, ToEar } from '../../src/ui/catch/messages';
import { type Ear, inputs } from '../../src/ui/catch/microphone';
import { useAlong } from '../../src/ui/catch/use-along';
import { useEar } from '../../src/ui/catch/use-ear';

let root: Root;
const place = document.createElement('div');

/** Inputs that were asked for; each comes when it is let through. */
let asked: {
  readonly wish: MediaStreamConstraints;
  readonly track: MediaStreamTrack;
  readonly letThrough: () => void;
  readonly level: (level: number) => void;
}[] = [];

beforeAll(() => {
  Object.assign(globalThis, { IS_REACT_ACT_ENVIRONMENT: true });
  document.body.append(place);
  const getUserMedia = (wish: MediaStreamConstraints) =>
    new Promise<MediaStream>((resolve) => {
      const context = new AudioContext();
      const into = context.createMediaStreamDestination();
      const tone = new OscillatorNode(context, { frequency: 220 });
      const loud = new GainNode(context, { gain: 0.2 });
      tone.connect(loud).connect(into);
      tone.start();
      asked.push({
        wish,
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
      <button type="button" onClick={() => void listen(input)}>
        {state.listening ? 'listening' : 'listen'}
      </button>
      {said && <p>{inputWords(state)}</p>}
    </>
  );
}

/** Which of the inputs is chosen; empty for the usual one. */
let input = '';

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

describe('the inputs there are', () => {
  it('stand once each, by name, and the one that is chosen is asked for', async () => {
    const { mediaDevices } = navigator;
    const device = (kind: string, deviceId: string, label: string) => ({ kind, deviceId, label });
    Object.defineProperty(mediaDevices, 'enumerateDevices', {
      configurable: true,
      value: async () => [
        device('audioinput', 'default', 'Default - Built-in'),
        device('audioinput', 'one', 'Built-in'),
        device('audiooutput', 'out', 'Loudspeaker'),
        device('videoinput', 'eye', 'Camera'),
        device('audioinput', 'two', ''),
      ],
    });
    try {
      const known = await inputs();
      expect(known).toEqual([
        { id: 'one', name: 'Built-in' },
        { id: 'two', name: 'Input 2' },
      ]);
      input = 'two';
      await act(async () => root.render(<ListenPage />));
      await userEvent.click(place.querySelector('button')!);
      await expect.poll(() => asked.length).toBe(1);
      // As it is, without what is made for speech.
      expect(asked[0]!.wish.audio).toEqual({
        deviceId: { exact: 'two' },
        echoCancellation: false,
        noiseSuppression: false,
        autoGainControl: false,
      });
    } finally {
      input = '';
      Reflect.deleteProperty(mediaDevices, 'enumerateDevices');
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

function AlongPage({ of }: { readonly of: Ear }) {
  now = useAlong({ current: of });
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

  it('lies earlier by the delay of the input, once that was measured by clicks', async () => {
    const rate = 8000;
    const late = 0.12;
    // A room in which what is played comes back later.
    const room = new Float32Array(8 * rate);
    const clicking: Ear = {
      ...ear,
      rate,
      input: { id: 'measured', name: 'Measured' },
      play: (samples, at) => {
        const from = Math.round((at + late) * rate);
        for (const [i, v] of samples.entries()) room[from + i]! += 0.5 * v;
        return () => {};
      },
    };
    await act(async () => root.render(<AlongPage of={clicking} />));
    await act(async () => now.open(clicking));
    const ago = async () => {
      await act(async () => now.along({ way: 'click', bpm: 100, lane: '', key: '' }, () => {}));
      await act(async () => now.come(++asks, round));
      await act(async () => void now.hear(new Float32Array(80), 7));
      const { ago, measured } = now.clock()!;
      await act(async () => now.along({ way: 'click', bpm: 100, lane: '', key: '' }, () => {}));
      return { ago, measured };
    };
    let asks = 0;
    const before = await ago();
    expect([before.measured, now.delay.known]).toEqual([false, null]);
    await act(async () => now.measure());
    for (let at = 0; at + 800 <= room.length; at += 800) {
      await act(async () => void now.hear(room.slice(at, at + 800), (at + 800) / rate));
    }
    expect(now.delay.problems).toEqual([]);
    expect(now.delay.known).toMatchObject({ input: 'Measured' });
    expect(Math.abs(now.delay.known!.seconds - late)).toBeLessThan(0.002);
    const after = await ago();
    expect(after.measured).toBe(true);
    expect(Math.abs(before.ago - after.ago - late)).toBeLessThan(0.002);
    // It is known of this input when it is opened again, and of no other.
    await act(async () => now.open(ear));
    expect(now.delay.known).toBeNull();
    await act(async () => now.open(clicking));
    expect(now.delay.known).not.toBeNull();
  });

  it('is what was asked for last, whatever comes first', async () => {
    await act(async () => root.render(<AlongPage of={ear} />));
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
