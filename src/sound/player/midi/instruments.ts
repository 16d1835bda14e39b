import { midiSink, type Ticking } from '../../midi-live/midi-sink';
import type { Sink } from '../sink';

/** An instrument that is connected. */
export interface MidiInstrument {
  readonly id: string;
  readonly name: string;
}

/** Why no instrument can be reached. */
export type NoMidi = 'no web midi' | 'refused';

/** What Web MIDI says is connected, kept up to date. */
export interface MidiInstruments {
  readonly list: () => readonly MidiInstrument[];
  /** What plays on one of them; null where it is gone. */
  readonly sink: (id: string) => Sink | null;
}

/**
 * Asks the browser, which may ask the person: call it on a press only.
 * @param changed Something was connected or unplugged.
 */
export async function findMidi(changed: () => void): Promise<MidiInstruments | NoMidi> {
  if (typeof navigator.requestMIDIAccess !== 'function') return 'no web midi';
  let access: MIDIAccess;
  try {
    access = await navigator.requestMIDIAccess({ sysex: false });
  } catch {
    return 'refused';
  }
  access.onstatechange = changed;
  const connected = () => [...access.outputs.values()].filter((o) => o.state === 'connected');
  return {
    list: () =>
      connected().map((o, i) => ({
        id: o.id,
        name: o.name === null || o.name.trim() === '' ? `instrument ${i + 1}` : o.name,
      })),
    sink(id) {
      const out = connected().find((o) => o.id === id);
      if (out === undefined) return null;
      const port = {
        // What is unplugged takes no messages, and says so only by throwing.
        send: (data: number[], time?: number) => {
          if (out.state === 'connected') out.send(data, time);
        },
      };
      const canClear = 'clear' in out && typeof out.clear === 'function';
      const own = canClear ? { ...port, clear: () => (out.clear as () => void)() } : port;
      return midiSink(own, () => performance.now(), ticking);
    },
  };
}

const ticking: Ticking = (tick) => {
  const worker = new Worker(new URL('./tick-worker.ts', import.meta.url), { type: 'module' });
  worker.onmessage = tick;
  return () => worker.terminate();
};
