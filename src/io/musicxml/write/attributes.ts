import type { FingeredView } from '../../../core/neck/as-fingered';
import {
  type Instrument,
  type Key,
  type Meter,
  TICKS_PER_QUARTER,
} from '../../../core/phrase/types';
import { signatureFifths } from '../../../core/theory/key';
import type { StaffKind } from '../misc';
import { el, group, leaf, type XmlNode } from '../xml/format';

/** What the first bar says: divisions, key, time, clefs, tuning, transposition. */
export function firstAttributes(
  instrument: Instrument,
  key: Key,
  meter: Meter,
  staves: readonly StaffKind[],
  view: FingeredView | null,
): XmlNode {
  const number = (i: number) => (staves.length === 1 ? undefined : i + 1);
  return group(
    'attributes',
    // One division is one tick, so that every duration of T1 is a whole number.
    leaf('divisions', TICKS_PER_QUARTER),
    group(
      'key',
      leaf('fifths', signatureFifths(key)),
      // 'blues' is no mode of the format: it has the major signature (D6).
      leaf('mode', key.mode === 'minor' ? 'minor' : 'major'),
    ),
    timeNode(meter),
    staves.length === 1 ? null : leaf('staves', staves.length),
    staves.map((s, i) => el('clef', { number: number(i) }, clefContent(s, instrument))),
    staves.flatMap((s, i) => (s === 'tab' ? [staffDetails(instrument, number(i))] : [])),
    view === null ? null : staves.map((_, i) => transposeNode(view, number(i))),
  );
}

/** A change of meter at a bar line. */
export function meterAttributes(meter: Meter): XmlNode {
  return group('attributes', timeNode(meter));
}

function timeNode(m: Meter): XmlNode {
  return group('time', leaf('beats', m.beats), leaf('beat-type', m.beatType));
}

/** The octave of the clef is part of the sign; the pitches in the file are what sounds (P3). */
function clefContent(staff: StaffKind, { clef }: Instrument): XmlNode[] {
  if (staff === 'tab') return [leaf('sign', 'TAB'), leaf('line', 5)];
  const octave = leaf('clef-octave-change', -1);
  switch (clef) {
    case 'treble-8':
      return [leaf('sign', 'G'), leaf('line', 2), octave];
    case 'treble':
      return [leaf('sign', 'G'), leaf('line', 2)];
    case 'bass-8':
      return [leaf('sign', 'F'), leaf('line', 4), octave];
  }
}

/** The line of a tab staff on which a string is drawn: lines count from the bottom (P4). */
export function staffLineOf(string: number, strings: number): number {
  return strings + 1 - string;
}

function staffDetails({ tuning, capo }: Instrument, number: number | undefined): XmlNode {
  const lines = tuning
    .map((open, i) => ({ open, line: staffLineOf(i + 1, tuning.length) }))
    .sort((a, b) => a.line - b.line);
  return el(
    'staff-details',
    { number },
    leaf('staff-lines', tuning.length),
    lines.map(({ open, line }) =>
      el(
        'staff-tuning',
        { line },
        leaf('tuning-step', open.letter),
        open.alter === 0 ? null : leaf('tuning-alter', open.alter),
        leaf('tuning-octave', open.octave),
      ),
    ),
    capo === 0 ? null : leaf('capo', capo),
  );
}

/** From what is written to what sounds: whole octaves apart from the interval inside one. */
function transposeNode({ toSounding }: FingeredView, number: number | undefined): XmlNode {
  const octave = Math.trunc(toSounding.semitones / 12);
  return el(
    'transpose',
    { number },
    leaf('diatonic', toSounding.steps - 7 * octave),
    leaf('chromatic', toSounding.semitones - 12 * octave),
    octave === 0 ? null : leaf('octave-change', octave),
  );
}
