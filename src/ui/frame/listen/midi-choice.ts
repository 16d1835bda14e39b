import type {
  MidiInstrument,
  MidiInstruments,
  NoMidi,
} from '../../../sound/player/midi/instruments';
import { NotThere, onDemand } from '../../shared/on-demand';
import { playing } from './playing';

/** What is known of instruments that take MIDI; nobody is asked for them before a press. */
export type MidiChoice =
  | { readonly kind: 'unasked' }
  | { readonly kind: 'asking' }
  | { readonly kind: 'none'; readonly why: NoMidi }
  | {
      readonly kind: 'found';
      readonly list: readonly MidiInstrument[];
      /** What is played through; this device where it is null. */
      readonly chosen: MidiInstrument | null;
    };

const finding = onDemand('What plays on instruments', () =>
  import('../../../sound/player/midi/instruments').then((m) => m.findMidi),
);

let now: MidiChoice = { kind: 'unasked' };
let found: MidiInstruments | null = null;
const listeners = new Set<() => void>();

/** What is known of instruments at this moment. */
export const midiNow = (): MidiChoice => now;

/** @returns ends the subscription. */
export function subscribeToMidi(changed: () => void): () => void {
  listeners.add(changed);
  return () => {
    listeners.delete(changed);
  };
}

function setMidi(next: MidiChoice): void {
  now = next;
  for (const changed of listeners) changed();
}

/**
 * Looks for instruments; the browser may ask the person.
 * @param unplugged The instrument that was played through is gone, and this device sounds again.
 * @throws NotThere
 */
export async function lookForMidi(unplugged: (name: string) => void): Promise<void> {
  if (now.kind === 'asking') return;
  setMidi({ kind: 'asking' });
  try {
    const find = await finding.get();
    const answer = await find(() => plugged(unplugged));
    if (typeof answer === 'string') {
      setMidi({ kind: 'none', why: answer });
      return;
    }
    found = answer;
    setMidi({ kind: 'found', list: answer.list(), chosen: null });
  } catch (reason) {
    setMidi({ kind: 'unasked' });
    if (reason instanceof NotThere) throw reason;
    setMidi({ kind: 'none', why: 'refused' });
  }
}

/** Plays through an instrument from now on, or through this device again. What is played ends. */
export async function playThrough(id: string | null): Promise<void> {
  const player = await playing.get();
  if (now.kind !== 'found' || found === null) return;
  const sink = id === null ? null : found.sink(id);
  const chosen = sink === null ? null : (now.list.find((i) => i.id === id) ?? null);
  player.through(chosen === null ? null : sink);
  setMidi({ ...now, chosen });
}

/** Something was connected or unplugged. */
function plugged(unplugged: (name: string) => void): void {
  if (now.kind !== 'found' || found === null) return;
  const list = found.list();
  const { chosen } = now;
  const gone = chosen !== null && !list.some((i) => i.id === chosen.id);
  if (gone) playing.known()?.through(null);
  setMidi({ kind: 'found', list, chosen: gone ? null : chosen });
  if (gone) unplugged(chosen.name);
}
