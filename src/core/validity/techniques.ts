import { isWound, playableFrets } from '../phrase/instrument';
import type { BendPoint, DeadNote, PitchedNote } from '../phrase/types';
import { bendSemitones, legatoSource } from '../phrase/walk';
import { widestBend } from '../technique/bend-width';
import type { DeadTechnique, PitchedTechnique } from '../technique/fields';
import { noteTechniques, techniqueOf } from '../technique/table';
import { valueOfTechnique } from '../technique/value';
import { formatPitch, midiOf } from '../theory/pitch';
import { checkMotion } from './motion';
import type { NotePlace } from './place';

/** Widest trill in semitones; beyond an octave it is no trill to read. Ours. */
const WIDEST_TRILL = 12;

type Check = (n: PitchedNote, place: NotePlace) => void;

/** What each technique of a note asks (N3, M10, section 6); null where any note may have it. */
const CHECKS: Readonly<Record<PitchedTechnique, Check | null>> = {
  attack: checkAttack,
  slideOut: checkSlideOut,
  slideIn: checkSlideIn,
  bend: checkBend,
  vibrato: checkVibrato,
  trill: checkTrill,
  harmonic: checkHarmonic,
  letRing: null,
  barDip: null,
  ghost: null,
  finger: null,
  pluck: null,
};

const LIST = Object.values(CHECKS).filter((c) => c !== null);

/** What each technique of a dead note asks. */
const DEAD_CHECKS: Readonly<Record<DeadTechnique, (n: DeadNote, place: NotePlace) => void>> = {
  scrape: (n, place) => {
    if (n.scrape === undefined || isWound(place.instrument, n.string)) return;
    place.report(
      `string ${n.string} has no winding to scrape along`,
      'Scrape a lower string, or strike a dead note.',
      'scrape',
    );
  },
};

/** What a dead note on an existing string carries. */
export function checkDead(n: DeadNote, place: NotePlace): void {
  for (const check of Object.values(DEAD_CHECKS)) check(n, place);
}

/** What a pitched note on an existing string and fret carries. */
export function checkTechniques(n: PitchedNote, place: NotePlace): void {
  for (const check of LIST) check(n, place);
}

function checkAttack(n: PitchedNote, place: NotePlace): void {
  if (n.attack === undefined) return;
  if (n.attack === 'tap') {
    if (n.fret === 0) place.report('an open string cannot be tapped', 'Tap a fret.', 'attack');
    return;
  }
  const source = legatoSource(place.events, place.eventIndex, n.string);
  if (source === null) {
    place.report(
      `a ${n.attack} has no note before it on string ${n.string} to start from`,
      'Let the note before it be on the same string and last until here, or pluck this one.',
      'attack',
    );
    return;
  }
  const before = place.events[place.eventIndex - 1]?.notes.find((m) => m.id === source.id);
  if (before?.kind === 'pitched' && before.harmonic?.kind === 'natural') {
    place.report(
      `a ${n.attack} cannot start from a natural harmonic, where nothing is stopped`,
      'Pluck this note.',
      'attack',
    );
  } else if (before?.kind === 'pitched' && before.slideOut !== undefined) {
    place.report(
      `a ${n.attack} cannot start from a note that slides off`,
      'Remove the slide off, or pluck this note.',
      'attack',
    );
  } else checkMotion(n.attack, source.fret, n.fret, place);
}

function checkSlideOut(n: PitchedNote, place: NotePlace): void {
  if (n.slideOut !== undefined && n.fret === 0) {
    place.report(
      'an open string cannot slide off',
      'Remove the slide, or fret the note.',
      'slideOut',
    );
  }
}

function checkSlideIn(n: PitchedNote, place: NotePlace): void {
  if (n.slideIn === undefined) return;
  if (n.fret === 0) {
    place.report(
      'an open string cannot be slid into',
      'Remove the slide, or fret the note.',
      'slideIn',
    );
    return;
  }
  if (n.attack !== undefined && n.attack !== 'tap') {
    place.report(
      `a note reached by a ${n.attack} cannot be slid into as well`,
      'Keep one of the two.',
      'slideIn',
    );
  }
  const event = place.events[place.eventIndex]!;
  if (event.graces?.some((g) => g.notes.some((m) => m.string === n.string))) {
    place.report(
      `a slide-in starts the note on string ${n.string}, and a grace note before it starts it too`,
      'Keep one of the two.',
      'slideIn',
    );
  }
  const size = n.slideIn.kind === 'interval' ? n.slideIn.semitones : 1;
  const start = n.slideIn.from === 'below' ? n.fret - size : n.fret + size;
  const top = playableFrets(place.instrument);
  if (start < 1 || start > top) {
    place.report(
      `a slide-in from ${n.slideIn.from} would start at fret ${start}`,
      `Start it on a fret from 1 to ${top}.`,
      'slideIn',
    );
  }
}

/** M10: a semitone to four above the fretted start, two on the low strings. */
function checkBend(n: PitchedNote, place: NotePlace): void {
  if (n.bend === undefined) return;
  if (n.fret === 0) {
    place.report(
      'an open string cannot be bent',
      'Play the note on a fret, or remove the bend.',
      'bend',
    );
    return;
  }
  if (n.bend.shape !== 'curl') {
    const most = widestBend(n.string);
    const width = bendSemitones(n);
    if (!(width >= 1 && width <= most)) {
      place.report(
        `the bend from ${formatPitch(n.pitch)} to ${formatPitch(n.bend.target)} is ${width} semitones wide`,
        `On string ${n.string} a bend rises 1 to ${most} semitones.`,
        'bend/target',
      );
    }
  }
  const wrong = wrongCurve(n.bend.shape, n.bend.curve);
  if (wrong !== null) place.report(wrong.message, wrong.fix, 'bend/curve');
}

type Shape = NonNullable<PitchedNote['bend']>['shape'];

/** Amount at the beginning and at the end of each shape, in percent of the width. */
const ENDS: Readonly<Record<Shape, readonly [number, number]>> = {
  bend: [0, 100],
  curl: [0, 100],
  'bend-release': [0, 0],
  'pre-bend': [100, 100],
  'pre-bend-release': [100, 0],
};

function wrongCurve(
  shape: Shape,
  curve: readonly BendPoint[],
): { message: string; fix: string } | null {
  const first = curve[0];
  const last = curve.at(-1);
  if (first === undefined || last === undefined || first.at !== 0 || last.at !== 100) {
    return {
      message: 'the curve of the bend does not cover the note',
      fix: 'Let the first point be at 0 and the last at 100 percent of the note.',
    };
  }
  if (curve.some((c, i) => i > 0 && !(c.at > curve[i - 1]!.at))) {
    return {
      message: 'the points of the bend are not ascending in time',
      fix: 'Sort them by time, no two at once.',
    };
  }
  const [start, end] = ENDS[shape];
  if (first.amount !== start || last.amount !== end) {
    return {
      message: `the curve goes from ${first.amount} to ${last.amount} percent, which is no ${shape}`,
      fix: `A ${shape} begins at ${start} and ends at ${end} percent of its width.`,
    };
  }
  if (!curve.some((c) => c.amount === 100)) {
    return {
      message: 'the bend never reaches its target',
      fix: 'Let one point be at 100 percent.',
    };
  }
  return null;
}

function checkVibrato(n: PitchedNote, place: NotePlace): void {
  if (n.vibrato === undefined) return;
  if (n.fret === 0) {
    place.report(
      'an open string cannot be given vibrato',
      'Fret the note, or remove the vibrato.',
      'vibrato',
    );
  }
  checkConflicts('vibrato', n, place);
}

function checkTrill(n: PitchedNote, place: NotePlace): void {
  if (n.trill === undefined) return;
  const width = midiOf(n.trill.upper) - midiOf(n.pitch);
  if (!(width >= 1 && width <= WIDEST_TRILL)) {
    place.report(
      `the trill's upper note ${formatPitch(n.trill.upper)} is ${width} semitones above ${formatPitch(n.pitch)}`,
      `It must be 1 to ${WIDEST_TRILL} semitones above.`,
      'trill/upper',
    );
  } else if (n.fret + width > playableFrets(place.instrument)) {
    place.report(
      `the trill's upper note would be at fret ${n.fret + width}`,
      `The neck ends at fret ${playableFrets(place.instrument)}; trill with a nearer note or on another string.`,
      'trill/upper',
    );
  }
  checkConflicts('trill', n, place);
}

/** What stands in the technique's row and is on the note as well. */
function checkConflicts(field: PitchedTechnique, n: PitchedNote, place: NotePlace): void {
  for (const c of techniqueOf(field).conflicts ?? []) {
    if (valueOfTechnique(n, c.with) !== undefined) place.report(c.message, c.fix, field);
  }
}

/** What only a stopped string takes; the attack is told in words of its own. */
const STOPPED = noteTechniques((t) => t.asksPlace && t.id !== 'attack');

function checkHarmonic(n: PitchedNote, place: NotePlace): void {
  if (n.harmonic === undefined) return;
  if (n.harmonic.kind === 'artificial' && n.fret === 0) {
    place.report(
      'a harmonic over an open string is a natural one',
      "Write the kind 'natural' with the fret of its node.",
      'harmonic',
    );
  }
  if (n.harmonic.kind !== 'natural') return;
  const moving = STOPPED.find((field) => field in n);
  if (moving !== undefined) {
    place.report(
      `a natural harmonic is touched, not stopped, and takes no ${techniqueOf(moving).word}`,
      'Make it an artificial harmonic, or remove one of the two.',
      moving,
    );
  }
  if (n.attack !== undefined && n.attack !== 'tap') {
    place.report(`a natural harmonic cannot be reached by a ${n.attack}`, 'Pluck it.', 'attack');
  }
}
