import type { Feel, Mark, Tempo } from '../../../core/phrase/types';
import { el, group, leaf, type XmlNode } from '../xml/format';

/** What every direction says about its place. */
export interface DirectionPlace {
  /** Ticks after the note it stands before. */
  readonly offset: number;
  /** Number of the staff where the part has two. */
  readonly staff: number | null;
}

const QUARTERS: Readonly<Record<Tempo['unit'], number>> = {
  eighth: 0.5,
  quarter: 1,
  'dotted-quarter': 1.5,
  half: 2,
};

/** Tempo as it is read and as it sounds, with the swing ratio of MusicXML 4.0 (T3). */
export function tempoNode(tempo: Tempo, feel: Feel, staff: number | null): XmlNode {
  const dotted = tempo.unit === 'dotted-quarter';
  const metronome = group(
    'metronome',
    leaf('beat-unit', dotted ? 'quarter' : tempo.unit),
    dotted ? group('beat-unit-dot') : null,
    leaf('per-minute', tempo.bpm),
  );
  const swing =
    feel.kind === 'straight'
      ? null
      : group(
          'swing',
          leaf('first', feel.first),
          leaf('second', feel.second),
          leaf('swing-type', feel.unit),
        );
  const sound = el('sound', { tempo: tempo.bpm * QUARTERS[tempo.unit] }, swing);
  return direction('above', [metronome], { offset: 0, staff }, sound);
}

/** A dynamic or words. */
export function markNode(mark: Mark, place: DirectionPlace): XmlNode {
  return mark.kind === 'dynamic'
    ? direction('below', [group('dynamics', group(mark.value))], place)
    : direction('above', [leaf('words', mark.text)], place);
}

/** 'P.M.' and the dashes behind it; what sounds is said by `<play>` on each note. */
export function palmMuteStart(number: number, staff: number | null): XmlNode {
  const dashes = el('dashes', { type: 'start', number });
  return direction('above', [leaf('words', 'P.M.'), dashes], { offset: 0, staff });
}

/** The end of the dashes of a palm mute. */
export function palmMuteStop(number: number, staff: number | null): XmlNode {
  return direction('above', [el('dashes', { type: 'stop', number })], { offset: 0, staff });
}

function direction(
  placement: 'above' | 'below',
  types: readonly XmlNode[],
  place: DirectionPlace,
  sound: XmlNode | null = null,
): XmlNode {
  return el(
    'direction',
    { placement },
    types.map((t) => group('direction-type', t)),
    place.offset === 0 ? null : leaf('offset', place.offset),
    place.staff === null ? null : leaf('staff', place.staff),
    sound,
  );
}
