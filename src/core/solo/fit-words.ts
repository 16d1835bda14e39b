import type { Side } from '../joins/near-note';
import type { Phrase } from '../phrase/types';
import { notesOf } from '../phrase/walk';
import { lineOf } from './line';
import { TORN_WORDS } from './torn';

/** What is to be said of a phrase that fits. */
interface Said {
  readonly source: Phrase;
  readonly moved: Phrase;
  /** Share of the beats that have chords like its own. */
  readonly suits: number;
  /** How often its line leaps where it did not (`tornAt`). */
  readonly torn: number;
  /** What was done otherwise than by the bare rules, in sentences without a full stop. */
  readonly otherwise: readonly string[];
  /** How far it begins above the note before, and ends above the note behind. */
  readonly near: readonly { readonly side: Side; readonly semitones: number }[];
}

/** Why a phrase fits, in parts of a sentence: way of moving, where on the neck, chords, joins, what had to give. */
export function fitWords({ source, moved, suits, torn, otherwise, near }: Said): readonly string[] {
  const chords = suits === 1 ? ['its own chords are like these'] : [];
  const joins = near.map(
    ({ side, semitones }) =>
      `${side === 'before' ? 'begins' : 'ends'} ${farWords(semitones)} the note ${side === 'before' ? 'before' : 'that follows'}`,
  );
  const leaps = torn > 0 ? [TORN_WORDS] : [];
  const [first] = otherwise;
  const gave =
    first === undefined
      ? []
      : [`${count(otherwise.length, 'thing')} had to be done otherwise: ${first}`];
  return [wayWords(source, moved), fretWords(moved), ...chords, ...leaps, ...joins, ...gave];
}

function wayWords(source: Phrase, moved: Phrase): string {
  const [from, to] = [lineOf(source), lineOf(moved)];
  const ways = new Set(from.map((n, i) => (to[i]?.midi ?? Number.NaN) - n.midi));
  const [only = Number.NaN] = ways;
  if (ways.size > 1 || from.length !== to.length || Number.isNaN(only)) {
    return 'each note goes by its role';
  }
  if (only === 0) return 'no note has to move';
  return `all of it goes ${count(Math.abs(only), 'semitone')} ${only > 0 ? 'up' : 'down'}`;
}

function fretWords(p: Phrase): string {
  const frets = notesOf(p).map(({ note }) => note.fret);
  const [low, high] = [Math.min(...frets), Math.max(...frets)];
  return low === high ? `fret ${low}` : `frets ${low} to ${high}`;
}

function farWords(semitones: number): string {
  if (semitones === 0) return 'on';
  return `${count(Math.abs(semitones), 'semitone')} ${semitones > 0 ? 'above' : 'below'}`;
}

function count(n: number, what: string): string {
  return `${n} ${what}${n === 1 ? '' : 's'}`;
}
