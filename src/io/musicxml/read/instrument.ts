import { STANDARD_GUITAR, STANDARD_TUNING } from '../../../core/phrase/instrument';
import type { Instrument } from '../../../core/phrase/types';
import { UNISON } from '../../../core/theory/interval';
import { midiOf, type Pitch, samePitch } from '../../../core/theory/pitch';
import type { PhraseExtras } from '../misc';
import {
  attribute,
  child,
  childNumber,
  childrenOf,
  childText,
  readNumber,
  type XmlElement,
} from '../xml/parse';
import type { ImportLog } from './log';
import { readPitch } from './pitch';
import type { RawPart } from './raw';
import { plainText } from './text';

/** Most strings, and frets, of an instrument that is taken over. */
const MOST_STRINGS = 12;
export const MOST_FRETS = 36;

/** E1 A1 D2 G2, string 1 first: the four-string bass (common practice). */
const BASS_TUNING: readonly Pitch[] = [
  { letter: 'G', alter: 0, octave: 2 },
  { letter: 'D', alter: 0, octave: 2 },
  { letter: 'A', alter: 0, octave: 1 },
  { letter: 'E', alter: 0, octave: 1 },
];

/** Vibrating lengths by clef in millimetres (N1; common practice: 34 inch bass, soprano ukulele). */
const SCALE_LENGTHS: Readonly<Record<Instrument['clef'], number>> = {
  'treble-8': STANDARD_GUITAR.scaleLength,
  treble: 349,
  'bass-8': 864,
};

/**
 * The instrument of a part: tuning and capo from `<staff-details>`, the clef from the staff, name
 * from the part; what only our own field says is taken from it where its tuning and capo agree with
 * the file. A part without tuning is read for a guitar in standard tuning, or a bass by its clef.
 */
export function readInstrument(
  part: RawPart,
  scorePart: XmlElement | undefined,
  extras: PhraseExtras | null,
  log: ImportLog,
): Instrument {
  const details = part.staffDetails.find((d) => child(d.element, 'staff-tuning') !== undefined);
  const stated = details === undefined ? null : readTuning(details.element, log);
  if (details !== undefined && stated === null) {
    log.add('dropped', 'a tuning that does not name every string is not kept', {
      line: details.element.line,
    });
  }
  logLater(part, details?.element, log);
  const capo = readCapo(part);
  if (extras !== null) {
    const own = extras.instrument;
    const sameTuning = stated === null || sameTunings(stated, own.tuning);
    const sameCapo = part.staffDetails.length === 0 || own.capo === capo;
    if (sameTuning && sameCapo && own.capo < own.frets) return own;
  }
  const clef = readClef(part, stated);
  const usual = clef === 'bass-8' ? BASS_TUNING : STANDARD_TUNING;
  const tuning = withAccords(stated ?? usual, part, log);
  if (stated === null) {
    const kind = clef === 'bass-8' ? 'a bass in E1 A1 D2 G2' : 'a guitar in standard tuning';
    log.add(
      'assumed',
      sameTunings(tuning, usual)
        ? `the file names no tuning: ${kind}`
        : `the file names only the strings that are tuned otherwise: else ${kind}`,
    );
  }
  const name = plainText(childText(scorePart ?? EMPTY, 'part-name') ?? '', 200);
  return {
    name: name === '' ? (clef === 'bass-8' ? 'Bass guitar' : 'Guitar') : name,
    tuning,
    frets: STANDARD_GUITAR.frets,
    scaleLength: SCALE_LENGTHS[clef],
    capo: capo < STANDARD_GUITAR.frets ? capo : 0,
    clef,
  };
}

const EMPTY: XmlElement = {
  name: '',
  attributes: new Map(),
  children: [],
  text: '',
  line: 1,
  column: 1,
};

/** Open strings, string 1 first: the lines of a tab staff count from the bottom (P4). */
function readTuning(details: XmlElement, log: ImportLog): readonly Pitch[] | null {
  const tunings = childrenOf(details, 'staff-tuning');
  const usual = standardLines(details, tunings.length);
  const lines = new Map<number, Pitch>(usual);
  for (const t of tunings) {
    const line = readNumber(attribute(t, 'line'));
    const pitch = readPitch(t, UNISON, log, 'tuning-');
    if (line === null || !pitch.ok) return null;
    lines.set(line, pitch.value);
  }
  const count = lines.size;
  if (count > MOST_STRINGS) return null;
  const strings = Array.from({ length: count }, (_, i) => lines.get(count - i));
  const complete = strings.filter((p): p is Pitch => p !== undefined);
  const sound = complete.every((p) => midiOf(p) >= 0 && midiOf(p) + MOST_FRETS <= 127);
  if (complete.length !== count || !sound) return null;
  if (usual.length > 0) {
    log.add('assumed', 'strings whose tuning the file does not name are in standard tuning', {
      line: details.line,
    });
  }
  return complete;
}

/** The lines of a guitar's tab in standard tuning, where the file names some of the six alone. */
function standardLines(details: XmlElement, named: number): readonly (readonly [number, Pitch])[] {
  const count = STANDARD_TUNING.length;
  if (childNumber(details, 'staff-lines') !== count || named >= count) return [];
  return STANDARD_TUNING.map((p, k) => [count - k, p] as const);
}

/** The tuning with the strings that `<scordatura>` tunes otherwise; string 1 is the first. */
function withAccords(tuning: readonly Pitch[], part: RawPart, log: ImportLog): readonly Pitch[] {
  const types = part.directions.flatMap((d) => childrenOf(d.element, 'direction-type'));
  const [first, ...later] = types.flatMap((t) => childrenOf(t, 'scordatura'));
  if (first === undefined) return tuning;
  for (const s of later) {
    log.add('dropped', 'a change of tuning is not kept; the first tuning holds', { line: s.line });
  }
  const out = [...tuning];
  for (const a of childrenOf(first, 'accord')) {
    const string = readNumber(attribute(a, 'string'));
    const pitch = readPitch(a, UNISON, log, 'tuning-');
    const sound = pitch.ok && midiOf(pitch.value) >= 0 && midiOf(pitch.value) + MOST_FRETS <= 127;
    if (string === null || out[string - 1] === undefined || !sound) {
      log.add('dropped', 'a string of a scordatura that is not understood is left out', {
        line: a.line,
      });
    } else out[string - 1] = pitch.value;
  }
  return out;
}

function readCapo(part: RawPart): number {
  for (const d of part.staffDetails) {
    const capo = childNumber(d.element, 'capo');
    if (capo !== null && Number.isInteger(capo) && capo >= 0) return capo;
  }
  return 0;
}

function logLater(part: RawPart, first: XmlElement | undefined, log: ImportLog): void {
  for (const d of part.staffDetails) {
    if (d.element === first || child(d.element, 'staff-tuning') === undefined) continue;
    log.add('dropped', 'a change of tuning is not kept; the first tuning holds', {
      line: d.element.line,
    });
  }
}

function sameTunings(a: readonly Pitch[], b: readonly Pitch[]): boolean {
  return a.length === b.length && a.every((p, i) => samePitch(p, b[i]!));
}

/** P3: the clef never changes a pitch; it only says how the staff is to be drawn again. */
function readClef(part: RawPart, tuning: readonly Pitch[] | null): Instrument['clef'] {
  const drawn = part.clefs.find((c) => ['G', 'F'].includes(childText(c.element, 'sign') ?? ''));
  const sign = drawn === undefined ? null : childText(drawn.element, 'sign');
  const octave = drawn === undefined ? 0 : (childNumber(drawn.element, 'clef-octave-change') ?? 0);
  const lowest = tuning === null ? null : Math.min(...tuning.map(midiOf));
  if (lowest !== null && tuning !== null) {
    // Below D2 with at most five strings is a bass; from D3 up nothing is written an octave above.
    if (lowest < 38 && (sign === 'F' || (sign === null && tuning.length <= 5))) return 'bass-8';
    if (lowest >= 50 && sign !== 'F' && octave === 0) return 'treble';
  } else if (sign === 'F' && octave < 0) return 'bass-8';
  return 'treble-8';
}
