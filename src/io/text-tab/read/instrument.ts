import { STANDARD_GUITAR } from '../../../core/phrase/instrument';
import type { Instrument } from '../../../core/phrase/types';
import { fail, ok, type Result } from '../../../core/result';
import {
  formatPitchClass,
  midiOf,
  type Pitch,
  parsePitchClass,
  pitchOfMidi,
} from '../../../core/theory/pitch';
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
 * Blocks with the first string on top, whichever way round they are written. Blocks without names lie as the
 * named one before them.
 */
export function firstStringsOnTop(blocks: readonly TabBlock[]): readonly TabBlock[] {
  let turned = false;
  return blocks.map((block) => {
    if (block.lines.some((l) => l.name !== '')) turned = isTurned(block);
    return turned ? { ...block, lines: [...block.lines].reverse() } : block;
  });
}

/** Whether the names before the lines tell more strings of the usual tuning read from below. */
function isTurned(block: TabBlock): boolean {
  const open = block.lines.length === 6 ? STANDARD : (USUAL[block.lines.length]?.open ?? '');
  const usual = open.split(' ').map((p) => p.slice(0, -1));
  const named = block.lines.map((l) => l.name.toUpperCase());
  const fromBelow = alike([...named].reverse(), usual);
  return fromBelow > alike(named, usual) && fromBelow * 2 > named.length;
}

/** How many names are the same in the same place. */
function alike(names: readonly string[], usual: readonly string[]): number {
  return names.filter((n, i) => n === usual[i]).length;
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

/** Six strings named one after the other; seven or four likewise. */
const NAMES = /(?:[A-G][#b♯♭]?[-\s,]*){4,7}/u;

/** A tuning that a line above or below tells: names of the strings, steps down, drop D. */
function tuningInWords(lines: readonly string[], usual: readonly Pitch[]): readonly Pitch[] | null {
  for (const line of lines.filter((l) => TUNES.test(l) && !/[-|]{4}/u.test(l))) {
    const run = NAMES.exec(line.replaceAll(ALL_TUNES, ' '))?.[0].match(/[A-G][#b♯♭]?/gu) ?? [];
    if (run.length === usual.length) {
      // From the lowest string, as it is usual in words, unless they are the usual ones from above.
      const fromTop = [...run].reverse();
      const fromAbove = alike(run, usual.map(formatPitchClass));
      const names = fromAbove * 2 > run.length ? run : fromTop;
      return usual.map((open, i) => tuned(open, names[i]!));
    }
    const down = /\b(?:down|lower|flat)\b/iu.test(line) ? stepsIn(line) : 0;
    const dropped = /\bdrop(?:ped)?[- ]?D\b/iu.test(line) && midiOf(usual.at(-1)!) % 12 === 4;
    if (down === 0 && !dropped) continue;
    const last = usual.length - 1;
    return usual.map((p, i) => {
      const semitones = down + (dropped && i === last ? 2 : 0);
      return semitones === 0 ? p : pitchOfMidi(midiOf(p) - semitones, 'flat');
    });
  }
  return null;
}

const TUNES = /\b(?:tuning|tuned|tune|drop(?:ped)?[- ]?D)\b/iu;
const ALL_TUNES = new RegExp(TUNES, 'giu');

/** `half a step`, `two whole steps`, `1 1/2 steps`, `one and a half steps`. */
const STEPS =
  /(?:\b(one|two|three|[1-3])[\s-]*)?(and[\s-]+)?(?:a[\s-]+)?(half|whole|full|1\/2|½)[\s-]*(?:a[\s-]+)?(?:step|tone)/iu;
const COUNTS: Readonly<Record<string, number>> = { one: 1, two: 2, three: 3 };

/** Semitones of the steps that a line names; 0 where it names none. */
function stepsIn(line: string): number {
  if (/\b(?:step|tone) and a half\b/iu.test(line)) return 3;
  const m = STEPS.exec(line);
  if (m === null) return 0;
  const [, count, and, unit] = m;
  const n = count === undefined ? null : (COUNTS[count.toLowerCase()] ?? Number(count));
  if (/whole|full/iu.test(unit!)) return 2 * (n ?? 1);
  const isFraction = and !== undefined || !/half/iu.test(unit!);
  return isFraction ? 2 * (n ?? 0) + 1 : (n ?? 1);
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
