import type { Phrase, PhraseEvent, PitchedNote } from '../../core/phrase/types';
import { bendSemitones, notesOf } from '../../core/phrase/walk';
import { analyse } from '../../core/understand/analyse';
import { GLYPHS } from '../../engrave/font/glyphs';
import { bendName } from '../../engrave/text/names';
import { degreeText } from '../score/degree-labels';
import type { Look } from '../score/look-fields';
import { widthInWords } from '../score/note-words';

/** A sign as it stands in the music, and what it means. */
export interface LegendEntry {
  readonly sign: string;
  /** The sign is a letter of the music font. */
  readonly music?: true;
  readonly meaning: string;
}

type NoteRule = readonly [(n: PitchedNote) => boolean, LegendEntry];
type EventRule = readonly [(e: PhraseEvent) => boolean, LegendEntry];

const text = (sign: string, meaning: string): LegendEntry => ({ sign, meaning });
const music = (sign: string, meaning: string): LegendEntry => ({ sign, music: true, meaning });

const ON_NOTES: readonly NoteRule[] = [
  [(n) => n.attack === 'hammer-on', text('H', 'hammer-on')],
  [(n) => n.attack === 'pull-off', text('P', 'pull-off')],
  [(n) => n.attack === 'slide', text('sl.', 'slide to the note, not plucked again')],
  [(n) => n.attack === 'slide-plucked', text('slanted line', 'slide, then the note is plucked')],
  [(n) => n.attack === 'tap', text('T', 'tapped with the picking hand')],
  [
    (n) => n.slideIn?.kind === 'interval',
    text('small number and line', 'slide in quickly from that fret'),
  ],
  [(n) => n.slideIn?.kind === 'indefinite', text('stroke before', 'slide in from somewhere')],
  [(n) => n.slideOut !== undefined, text('stroke after', 'slide off the note')],
  [(n) => n.bend?.shape === 'curl', text('¼', 'curl up by a quarter tone')],
  [isPreBend, text('straight arrow', 'bent before it is struck')],
  [isReleased, text('arrow down', 'let the bend down again')],
  [(n) => n.vibrato === 'narrow', text('wave', 'vibrato')],
  [(n) => n.vibrato === 'wide', text('high wave', 'wide vibrato')],
  [(n) => n.trill !== undefined, text('tr', 'trill with the fret in parentheses')],
  [
    (n) => n.harmonic?.kind === 'natural',
    text('N.H. ‹12›', 'natural harmonic, touched over the fret'),
  ],
  [
    (n) => n.harmonic?.kind === 'artificial',
    text('A.H. 5‹17›', 'artificial harmonic: stop the first fret, touch the second'),
  ],
  [
    (n) => n.harmonic?.kind === 'pinch',
    text('P.H.', 'pinch harmonic; +8, +12, +15 is how far above it sounds'),
  ],
  [(n) => n.barDip !== undefined, text('V −½', 'dip with the vibrato bar, in whole tones')],
  [(n) => n.ghost === true, text('(5)', 'ghost note, played softly')],
  [(n) => n.letRing === true, text('let ring', 'leave the fingers down')],
  [(n) => n.finger !== undefined, text('1 2 3 4', 'index to little finger; T is the thumb')],
  [
    (n) => n.pluck !== undefined,
    text('p i m a', 'thumb, index, middle and ring finger of the picking hand'),
  ],
];

const ON_EVENTS: readonly EventRule[] = [
  [(e) => e.graces !== undefined, text('small notes', 'grace notes, played just before')],
  [(e) => e.rake !== undefined, text('rake', 'drag the pick through the muted strings')],
  [
    (e) => e.notes.some((n) => n.kind === 'dead'),
    text('×', 'dead note: mute the string and strike it'),
  ],
  [(e) => e.stroke === 'down', music(GLYPHS.stringsDownBow, 'down-stroke')],
  [(e) => e.stroke === 'up', music(GLYPHS.stringsUpBow, 'up-stroke')],
  [(e) => e.strum === 'down', text('arrow up', 'strum from the lowest string')],
  [(e) => e.strum === 'up', text('arrow down the strings', 'strum from the first string')],
  [(e) => e.palmMute === true, text('P.M.', 'palm mute')],
  [(e) => e.staccato === true, text('·', 'staccato: short')],
  [(e) => e.accent === true, text('>', 'accent: stronger')],
  [(e) => e.tenuto === true, text('–', 'tenuto: full length')],
  [(e) => e.tremolo !== undefined, text('strokes on the stem', 'tremolo picking')],
];

function isPreBend(n: PitchedNote): boolean {
  return n.bend?.shape === 'pre-bend' || n.bend?.shape === 'pre-bend-release';
}

function isReleased(n: PitchedNote): boolean {
  return n.bend?.shape === 'bend-release' || n.bend?.shape === 'pre-bend-release';
}

/** The signs that the phrase uses, each once, in the order they are usually learnt. */
export function legendOf(p: Phrase, look: Look): readonly LegendEntry[] {
  const events = p.voices.flatMap((v) => v.events);
  const notes = events.flatMap((e) => e.notes.filter((n) => n.kind === 'pitched'));
  return [
    ...bendEntries(notes),
    ...ON_NOTES.filter(([has]) => notes.some(has)).map(([, entry]) => entry),
    ...ON_EVENTS.filter(([has]) => events.some(has)).map(([, entry]) => entry),
    ...degreeEntries(p, look),
  ];
}

/** The widths in use: `full` a whole tone, `½` a semitone. */
function bendEntries(notes: readonly PitchedNote[]): LegendEntry[] {
  const widths = new Map<number, string>();
  for (const n of notes) {
    if (n.bend !== undefined && n.bend.shape !== 'curl') widths.set(bendSemitones(n), bendName(n));
  }
  return [...widths]
    .sort(([a], [b]) => a - b)
    .map(([semitones, name]) => text(name, `bend up by ${widthInWords(semitones)}`));
}

function degreeEntries(p: Phrase, look: Look): LegendEntry[] {
  if (look.degrees === 'off') return [];
  const view = look.degrees;
  const { byId } = analyse(p);
  const words = notesOf(p).map(({ note }) => {
    const reading = byId.get(note.id);
    return reading === undefined ? null : degreeText(reading, view);
  });
  if (words.every((w) => w === null)) return [];
  const over = view === 'chord' ? 'what the note is over its chord' : 'what the note is in the key';
  return [
    text('R 3 5', `${over}; R is the root`),
    ...(words.some((w) => w?.includes('→'))
      ? [text('♭7→R', 'from where to where a bend leads')]
      : []),
    ...(words.some((w) => w?.endsWith('^'))
      ? [text('^', 'belongs to the chord that comes next')]
      : []),
  ];
}
