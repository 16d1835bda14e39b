import { useCallback, useMemo, useSyncExternalStore } from 'react';
import { NotThere } from '../../shared/on-demand';
import type { Action } from '../actions';
import { useActions, useApp } from '../app-context';
import { Choice } from '../export/choice';
import { lookForMidi, type MidiChoice, midiNow, playThrough, subscribeToMidi } from './midi-choice';

const WHY = {
  'no web midi':
    'This browser has no Web MIDI, so it cannot reach an instrument. Another browser may have it.',
  refused:
    'The browser does not let this page reach MIDI instruments. Allow it in the settings of the page, and look again.',
} as const;

const DEVICE = 'device';

/** Which instrument is played through, and what looks for more; what is unplugged is said. */
export function useMidi(): { readonly midi: MidiChoice; readonly look: () => void } {
  const { notices } = useApp();
  const midi = useSyncExternalStore(subscribeToMidi, midiNow);
  const look = useCallback(() => {
    lookForMidi((name) =>
      notices.trouble(`${name} was unplugged. This device sounds again.`),
    ).catch((reason: unknown) => {
      if (reason instanceof NotThere) notices.trouble(reason.message);
    });
  }, [notices]);
  return { midi, look };
}

/** Through what it is heard: this device, or an instrument that takes MIDI. */
export function MidiFields() {
  const { midi, look } = useMidi();
  if (midi.kind !== 'found') {
    return (
      <>
        <button type="button" onClick={look} disabled={midi.kind === 'asking'}>
          {midi.kind === 'asking' ? 'One moment' : 'Look for MIDI instruments'}
        </button>
        <span className="quiet" role="status">
          {midi.kind === 'none' ? WHY[midi.why] : 'The browser may ask whether this page may.'}
        </span>
      </>
    );
  }
  const words = Object.fromEntries(midi.list.map((i) => [i.id, i.name]));
  return (
    <>
      <Choice
        label="Through"
        value={midi.chosen?.id ?? DEVICE}
        values={[DEVICE, ...midi.list.map((i) => i.id)]}
        words={{ ...words, [DEVICE]: 'this device' }}
        onChange={(id) => void playThrough(id === DEVICE ? null : id)}
      />
      <span className="quiet" role="status">
        {midi.list.length === 0
          ? 'No MIDI instrument is connected. Connect one: it appears here by itself.'
          : midi.chosen === null
            ? ''
            : 'A channel a string, with bends; the band and the metronome play on it too.'}
      </span>
    </>
  );
}

/** Says on every page that this device is silent since an instrument plays, and brings its sound back. */
export function MidiNote() {
  const midi = useSyncExternalStore(subscribeToMidi, midiNow);
  const name = midi.kind === 'found' ? (midi.chosen?.name ?? null) : null;
  useActions(
    useMemo(
      (): readonly Action[] =>
        name === null
          ? []
          : [
              {
                id: 'listen.device',
                title: 'Hear it through this device again',
                group: 'Listen',
                words: 'midi instrument loudspeaker sound',
                run: () => void playThrough(null),
              },
            ],
      [name],
    ),
  );
  if (name === null) return null;
  return (
    <p className="quiet listen-care">
      Plays through {name}.{' '}
      <button type="button" onClick={() => void playThrough(null)}>
        Through this device
      </button>
    </p>
  );
}
