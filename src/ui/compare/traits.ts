import { positionOf } from '../../core/phrase/time';
import { beatPlace, lengthWords } from '../../core/phrase/time-words';
import type { Phrase, Ticks } from '../../core/phrase/types';
import type { NoteAt } from '../../core/phrase/walk';
import { midiOf } from '../../core/theory/pitch';
import type { Analysis } from '../../core/understand/analyse';
import { degreeText } from '../../publish/degree-labels';
import { techniqueWords } from '../score/note-words';
import { noteName } from '../shared/words';

/** In what two notes can differ, with the sign that stands beside the word. */
export const KINDS = {
  above: { sign: '↑', word: 'only above' },
  below: { sign: '↓', word: 'only below' },
  pitch: { sign: '↕', word: 'pitch' },
  spelling: { sign: '♯', word: 'spelling' },
  degree: { sign: '°', word: 'degree' },
  rhythm: { sign: '↔', word: 'rhythm' },
  place: { sign: '⊞', word: 'place' },
  technique: { sign: '∿', word: 'technique' },
} as const;
export type DifferenceKind = keyof typeof KINDS;

/** What is compared of a note. */
interface Traits {
  /** Semitones; null for a dead note. */
  readonly midi: number | null;
  readonly name: string;
  readonly place: string;
  readonly degree: string | null;
  readonly beat: number;
  /** The beat as it is said. */
  readonly when: string;
  readonly length: Ticks;
  readonly techniques: readonly string[];
}

/** What is compared of the note at a place; null where there is none. */
export function traitsOf(p: Phrase, analysis: Analysis, at: NoteAt | null): Traits | null {
  if (at === null) return null;
  const { note, event, onset } = at;
  const { bar, beat } = positionOf(p, onset);
  const { meter } = (bar === 0 ? p.bars[0] : p.bars[bar - 1])!;
  const rest = {
    place: `string ${note.string} ${note.fret === 0 ? 'open' : `fret ${note.fret}`}`,
    beat,
    when: beatPlace(beat, meter),
    length: event.duration,
  };
  if (note.kind === 'dead')
    return { ...rest, midi: null, name: 'dead note', degree: null, techniques: [] };
  const reading = analysis.byId.get(note.id) ?? null;
  return {
    ...rest,
    midi: midiOf(note.pitch),
    name: noteName(note.pitch),
    degree: reading === null ? null : (degreeText(reading, 'chord') ?? degreeText(reading, 'key')),
    techniques: techniqueWords(note, reading),
  };
}

/** In what they differ, in the order of `KINDS`; empty for equal notes. */
export function kindsOf(x: Traits | null, y: Traits | null): readonly DifferenceKind[] {
  if (x === null) return ['below'];
  if (y === null) return ['above'];
  const bothSound = x.midi !== null && y.midi !== null;
  const differ: readonly (readonly [DifferenceKind, boolean])[] = [
    ['pitch', bothSound && x.midi !== y.midi],
    ['spelling', bothSound && x.midi === y.midi && x.name !== y.name],
    ['degree', bothSound && x.degree !== y.degree],
    ['rhythm', !isSameRhythm(x, y)],
    ['place', x.place !== y.place],
    [
      'technique',
      (x.midi === null) !== (y.midi === null) || x.techniques.join() !== y.techniques.join(),
    ],
  ];
  return differ.filter(([, is]) => is).map(([kind]) => kind);
}

function isSameRhythm(x: Traits, y: Traits): boolean {
  return x.beat === y.beat && x.length === y.length;
}

/** A note in words; octave, beat and length are told where the other differs in them. */
export function traitWords(t: Traits | null, other: Traits | null): string {
  if (t === null) return 'nothing';
  const words = [
    t.name + octavesOver(t, other),
    t.place,
    t.degree === null ? '' : `as ${t.degree}`,
    ...t.techniques,
    other !== null && t.beat !== other.beat ? `on beat ${t.when}` : '',
    other !== null && t.length !== other.length ? `for ${lengthWords(t.length)}` : '',
  ];
  return words.filter((w) => w !== '').join(', ');
}

/** ` an octave higher` where two notes have one name. */
function octavesOver(t: Traits, other: Traits | null): string {
  if (t.midi === null || other === null || other.midi === null || t.name !== other.name) return '';
  const octaves = Math.round((t.midi - other.midi) / 12);
  if (octaves <= 0) return '';
  return octaves === 1 ? ' an octave higher' : ` ${octaves} octaves higher`;
}
