import { writeStruck } from '../../../core/edit/commands/struck';
import { MidiListening } from '../../shared/midi-listening';
import type { PartProps } from '../part-props';

/** Step by step from a MIDI instrument: what is struck together is written, and the cursor goes on. */
export function MidiIn({ writer }: Pick<PartProps, 'writer'>) {
  return (
    <MidiListening
      strings={writer.state.phrase.instrument.tuning.length}
      invitation="What you strike is written at the cursor with the length that is set, and it goes on."
      onStruck={(struck) => writer.run(writeStruck, struck)}
    />
  );
}
