import { HARMONIC_NODES, openMidi, playableFrets } from '../phrase/instrument';
import type { Instrument, Place } from '../phrase/types';
import { widestBend } from '../technique/bend-width';
import type { HardRule } from '../technique/hard-rule';
import type { Limits } from './limits';
import type { FingerNote } from './problem';

export interface Fault {
  readonly rule: HardRule;
  /** Plain words, without a full stop. */
  readonly message: string;
}

/** Whether the fretting hand presses the string: not open, touched, dead or tapped by the other hand. */
export function isFretted(note: FingerNote, fret: number): boolean {
  return note.kind === 'stopped' && fret > 0 && note.attack !== 'tap';
}

/** Start of a slide-in with a definite interval, as a fret; null where there is none (N3). */
export function slideStart(note: FingerNote, fret: number): number | null {
  const s = note.slideIn;
  if (s === undefined || s.semitones === null) return null;
  return s.from === 'below' ? fret - s.semitones : fret + s.semitones;
}

/** What forbids an open string for this note, in words; null where it may be open (N3). */
function openFault(note: FingerNote): string | null {
  if (note.bend !== undefined) return 'an open string cannot be bent';
  if (note.slideIn !== undefined) return 'an open string cannot be slid into';
  if (note.slideOut !== undefined || note.slidFrom) return 'an open string cannot be slid from';
  if (note.vibrato) return 'an open string cannot be given vibrato';
  switch (note.attack) {
    case 'hammer-on':
      return 'an open string cannot be hammered onto';
    case 'tap':
      return 'an open string cannot be tapped';
    case 'slide':
    case 'slide-plucked':
      return 'an open string cannot be slid to';
    default:
      return null;
  }
}

/**
 * Every hard rule one note breaks at one place, seen by itself (N2, N3, M10); empty where it may lie
 * there. Pitch is not compared, and wishes (`onlyString`, `fretRange`) are no rules.
 * @param place string 1 = first string, fret counted from the capo.
 */
export function placeFaults(
  instrument: Instrument,
  limits: Limits,
  note: FingerNote,
  place: Place,
): readonly Fault[] {
  const { string, fret } = place;
  const last = playableFrets(instrument);
  if (!Number.isInteger(string) || string < 1 || string > instrument.tuning.length) {
    return [{ rule: 'no-such-string', message: `there is no string ${string}` }];
  }
  if (!Number.isInteger(fret) || fret < 0 || fret > last) {
    return [{ rule: 'off-the-neck', message: `fret ${fret} is not on the neck (0 to ${last})` }];
  }
  if (note.kind === 'dead') return [];
  const faults: Fault[] = [];
  if (note.kind === 'harmonic' && HARMONIC_NODES[fret] === undefined) {
    const message = `fret ${fret} is not a node of a natural harmonic`;
    faults.push({ rule: 'harmonic-node', message });
  }
  const open = fret === 0 ? openFault(note) : null;
  if (open !== null) return [...faults, { rule: 'open-string', message: open }];
  const bend = bendFault(limits, note, string);
  if (bend !== null) faults.push({ rule: 'bend-width', message: bend });
  const slide = slideFault(note, fret, last);
  if (slide !== null) faults.push({ rule: 'slide-start', message: slide });
  if (note.trill !== undefined && fret + note.trill > last) {
    const message = `the trill's upper fret ${fret + note.trill} is past the last fret ${last}`;
    faults.push({ rule: 'trill-fret', message });
  }
  return faults;
}

function bendFault(limits: Limits, note: FingerNote, string: number): string | null {
  if (note.bend === undefined) return null;
  const widest = widestBend(string, limits);
  if (note.bend > 0 && note.bend <= widest) return null;
  return note.bend <= 0
    ? 'a bend must rise'
    : `a bend of ${note.bend} semitones is wider than ${widest} on string ${string}`;
}

/** A slide from no definite pitch needs one fret to come from or go to (N3). */
function slideFault(note: FingerNote, fret: number, last: number): string | null {
  const s = note.slideIn;
  if (s !== undefined) {
    const start = slideStart(note, fret) ?? (s.from === 'below' ? fret - 1 : fret + 1);
    if (start < 1) return `the slide-in would start at fret ${start}, below the first fret`;
    if (start > last)
      return `the slide-in would start at fret ${start}, past the last fret ${last}`;
  }
  if (note.slideOut === 'down' && fret < 2) return 'there is no fret below to slide off to';
  if (note.slideOut === 'up' && fret >= last) return 'there is no fret above to slide off to';
  return null;
}

/** Fret recorded for a dead note before the hand's place is known. */
export const FOLLOWS_HAND = -1;

/**
 * Every place where the note sounds its pitch, breaks no rule by itself and meets its wishes, by
 * string, then fret. A dead note has its string and the fret `FOLLOWS_HAND`.
 */
export function placesFor(
  instrument: Instrument,
  limits: Limits,
  note: FingerNote,
): readonly Place[] {
  const places: Place[] = [];
  for (let string = 1; string <= instrument.tuning.length; string++) {
    if (note.onlyString !== undefined && string !== note.onlyString) continue;
    if (note.kind === 'dead') places.push({ string, fret: FOLLOWS_HAND });
    else
      for (const fret of fretsSounding(instrument, note, string)) {
        const place = { string, fret };
        if (isWished(note, fret) && placeFaults(instrument, limits, note, place).length === 0)
          places.push(place);
      }
  }
  return places;
}

function fretsSounding(instrument: Instrument, note: FingerNote, string: number): number[] {
  const above = note.midi - openMidi(instrument, string);
  if (note.kind === 'stopped') return [above];
  return Object.keys(HARMONIC_NODES)
    .map(Number)
    .filter((node) => HARMONIC_NODES[node] === above);
}

/** Taps belong to the other hand and natural harmonics to their nodes: an area does not bind them. */
function isWished(note: FingerNote, fret: number): boolean {
  if (note.onlyFret !== undefined && fret !== note.onlyFret) return false;
  if (note.fretRange === undefined || note.attack === 'tap' || note.kind === 'harmonic')
    return true;
  return fret >= note.fretRange[0] && fret <= note.fretRange[1];
}
