import { pitchOfMidi } from '../../../core/theory/pitch';
import { TYPESET } from '../../../io/text/signs';

/** The name of a pitch without a chord or key as yet. */
export const pitchName = (midi: number): string => TYPESET.pitch(pitchOfMidi(midi, 'flat'));
