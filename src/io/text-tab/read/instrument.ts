import { STANDARD_GUITAR } from '../../../core/phrase/instrument';
import type { Instrument } from '../../../core/phrase/types';
import { fail, ok, type Result } from '../../../core/result';
import { midiOf, type Pitch, parsePitchClass, pitchOfMidi } from '../../../core/theory/pitch';
import type { TabBlock } from './lines';

const STANDARD = 'E4 B3 G3 D3 A2 E2';

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

/**
 * A block with the first string on top, whichever way round it is written: where the names before
 * the lines tell more strings of the usual tuning read from below, the lowest string is on top.
 */
export function firstStringOnTop(block: TabBlock): TabBlock {
  const open = block.lines.length === 6 ? STANDARD : (USUAL[block.lines.length]?.open ?? '');
  const usual = open.split(' ').map((p) => p.slice(0, -1));
  const named = block.lines.map((l) => l.name.toUpperCase());
  const alike = (names: readonly string[]) => names.filter((n, i) => n === usual[i]).length;
  const turned = [...named].reverse();
  const isTurned = alike(turned) > alike(named) && alike(turned) * 2 > turned.length;
  return isTurned ? { ...block, lines: [...block.lines].reverse() } : block;
}

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
  const named = base.tuning.map((open, i) => tuned(open, block.lines[i]!.name));
  const usualNames = named.every((p, i) => midiOf(p) === midiOf(base.tuning[i]!));
  const tuning = usualNames ? (tuningInWords(lines, base.tuning) ?? named) : named;
  const capo = lines.map((l) => /\bcapo\D{0,16}(\d{1,2})/iu.exec(l)).find((m) => m !== null);
  const fret = capo === undefined || capo === null ? base.capo : Number(capo[1]);
  return ok({ ...base, tuning, capo: fret < base.frets ? fret : base.capo });
}

/** Six strings named from the lowest, as it is usual in words; seven or four likewise. */
const NAMES = /(?:[A-G][#b♯♭]?[-\s,]*){4,7}/u;

/** A tuning that a line above or below tells: names from the lowest string, a step down, drop D. */
function tuningInWords(lines: readonly string[], usual: readonly Pitch[]): readonly Pitch[] | null {
  for (const line of lines.filter((l) => TUNES.test(l) && !/[-|]{4}/u.test(l))) {
    const run = NAMES.exec(line.replace(TUNES, ' '))?.[0].match(/[A-G][#b♯♭]?/gu) ?? [];
    if (run.length === usual.length) {
      const fromTop = [...run].reverse();
      return usual.map((open, i) => tuned(open, fromTop[i]!));
    }
    const down = /\b(half|whole|1\/2|full|½)[- ]?(?:a[- ])?(?:step|tone)/iu.exec(line);
    const low = /\b(?:down|lower|flat)\b/iu.test(line);
    if (down !== null && low) {
      const semitones = /whole|full/iu.test(down[1]!) ? 2 : 1;
      return usual.map((p) => pitchOfMidi(midiOf(p) - semitones, 'flat'));
    }
    if (/\bdrop(?:ped)?[- ]?D\b/iu.test(line) && midiOf(usual.at(-1)!) % 12 === 4) {
      return [...usual.slice(0, -1), pitchOfMidi(midiOf(usual.at(-1)!) - 2, 'flat')];
    }
  }
  return null;
}

const TUNES = /\b(?:tuning|tuned|tune|drop(?:ped)?[- ]?D)\b/iu;

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
