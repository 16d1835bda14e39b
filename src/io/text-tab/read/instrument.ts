import { STANDARD_GUITAR } from '../../../core/phrase/instrument';
import type { Instrument } from '../../../core/phrase/types';
import { fail, ok, type Result } from '../../../core/result';
import { midiOf, type Pitch, parsePitchClass } from '../../../core/theory/pitch';
import type { TabBlock } from './lines';

const USUAL: Readonly<
  Record<number, Omit<Instrument, 'tuning' | 'capo'> & { readonly open: string }>
> = {
  4: { name: 'Bass guitar', clef: 'bass-8', frets: 20, scaleLength: 864, open: 'G2 D2 A1 E1' },
  5: { name: 'Bass guitar', clef: 'bass-8', frets: 20, scaleLength: 864, open: 'G2 D2 A1 E1 B0' },
  7: {
    name: 'Guitar',
    clef: 'treble-8',
    frets: 24,
    scaleLength: 648,
    open: 'E4 B3 G3 D3 A2 E2 B1',
  },
};

/** The instrument by the number of lines, tuned by the names before them, with a capo that is told. */
export function instrumentOf(
  block: TabBlock,
  lines: readonly string[],
  usual: Instrument,
): Result<Instrument> {
  const count = block.lines.length;
  const known = USUAL[count];
  const base: Instrument | null =
    usual.tuning.length === count
      ? usual
      : count === 6
        ? STANDARD_GUITAR
        : known === undefined
          ? null
          : usualInstrument(known);
  if (base === null) {
    return fail({
      message: `there are ${count} lines, and no instrument here has so many strings`,
      fix: 'Paste four to seven lines, one a string.',
      line: block.lines[0]!.line,
      column: 1,
    });
  }
  const tuning = base.tuning.map((open, i) => tuned(open, block.lines[i]!.name));
  const capo = lines.map((l) => /\bcapo\D{0,16}(\d{1,2})/iu.exec(l)).find((m) => m !== null);
  const fret = capo === undefined || capo === null ? base.capo : Number(capo[1]);
  return ok({ ...base, tuning, capo: fret < base.frets ? fret : base.capo });
}

function pitchNamed(text: string): Pitch {
  const pc = parsePitchClass(text.slice(0, -1))!;
  return { ...pc, octave: Number(text.slice(-1)) };
}

/** The open string of a name nearest to the usual one; the usual one without a name. */
function tuned(usual: Pitch, name: string): Pitch {
  if (name === '') return usual;
  const pc = parsePitchClass(name);
  if (pc === null) return usual;
  const octaves = [-1, 0, 1].map((by) => ({ ...pc, octave: usual.octave + by }));
  return octaves.reduce((a, b) =>
    Math.abs(midiOf(b) - midiOf(usual)) < Math.abs(midiOf(a) - midiOf(usual)) ? b : a,
  );
}

function usualInstrument({ open, ...named }: (typeof USUAL)[number]): Instrument {
  return { ...named, capo: 0, tuning: open.split(' ').map(pitchNamed) };
}
