import { barSpans, positionOf } from '../../core/phrase/time';
import { beatPlaceOf, lengthWords } from '../../core/phrase/time-words';
import { aTuplet, tupletName } from '../../core/phrase/tuplet-words';
import type {
  DeadNote,
  Grace,
  Note,
  Phrase,
  PhraseEvent,
  PitchedNote,
  SlideIn,
} from '../../core/phrase/types';
import { bendSemitones, type NoteAt, notesOf } from '../../core/phrase/walk';
import type { DeadTechnique, MomentTechnique, PitchedTechnique } from '../../core/technique/fields';
import { formatChord } from '../../core/theory/chord';
import { type Analysis, analyse } from '../../core/understand/analyse';
import type { NoteReading, PitchReading } from '../../core/understand/reading';
import { barName, capital, chordName, count, degreeName, noteName } from '../shared/words';

/** The score in words, for whoever cannot see it: every note of a bar as one sentence. */
export interface BarInWords {
  readonly bar: number;
  /** `Bar 2, over C7`. */
  readonly heading: string;
  readonly notes: readonly { readonly id: string; readonly text: string }[];
}

/** Every bar that has notes, in order; the pickup first. */
export function scoreInWords(p: Phrase, analysis: Analysis = analyse(p)): readonly BarInWords[] {
  const spans = barSpans(p);
  const bars = new Map<number, { id: string; text: string }[]>();
  for (const at of notesOf(p)) {
    const { bar } = positionOf(p, at.onset);
    const list = bars.get(bar) ?? [];
    list.push({ id: at.note.id, text: noteInWords(p, at, analysis.byId.get(at.note.id) ?? null) });
    bars.set(bar, list);
  }
  return [...bars].map(([bar, notes]) => {
    const span = spans.find((s) => s.number === bar)!;
    const chords = analysis.spans
      .filter((s) => s.onset < span.end && s.end > span.start)
      .map((s) => (s.chord === null ? 'N.C.' : chordName(formatChord(s.chord))));
    const over = chords.length === 0 ? '' : `, over ${[...new Set(chords)].join(' and ')}`;
    return { bar, heading: capital(barName(bar)) + over, notes };
  });
}

/** `Beat 2 and, string 3, fret 5: C, R of C7, hammered on, for an eighth`. */
export function noteInWords(
  p: Phrase,
  at: Pick<NoteAt, 'note' | 'event' | 'voice' | 'onset'>,
  reading: NoteReading | null,
): string {
  const { note, event } = at;
  const place = `Beat ${beatPlaceOf(p, at.onset)}, string ${note.string}, ${fretName(note)}`;
  const what =
    note.kind === 'dead'
      ? deadWords(note)
      : [pitchInWords(reading, note), ...techniqueWords(note, reading)];
  const length = `for ${lengthIn(p, at)}`;
  return `${place}: ${[...what, ...eventWords(event, note), length].join(', ')}`;
}

/** As it is written: of a tuplet where the length alone would not say so, as that of a dotted eighth of a triplet. */
function lengthIn(p: Phrase, { event, voice, onset }: Pick<NoteAt, 'event' | 'voice' | 'onset'>) {
  const plain = lengthWords(event.duration);
  const end = onset + event.duration;
  const t = p.voices[voice]?.tuplets.find((t) => t.onset <= onset && end <= t.onset + t.duration);
  if (t === undefined || plain.includes(tupletName(t))) return plain;
  return `${lengthWords((event.duration * t.actual) / t.normal)} of ${aTuplet(t)}`;
}

function fretName(n: Note): string {
  return n.fret === 0 ? 'open' : `fret ${n.fret}`;
}

function pitchInWords(reading: NoteReading | null, note: PitchedNote): string {
  if (reading === null) return noteName(note.pitch);
  const words = readingInWords(reading, reading.start);
  return isBentTo(note) ? words : words + roleWords(reading);
}

/** Bent to another note, which is the one that is heard: the role is that one's (D5). */
function isBentTo(note: PitchedNote): boolean {
  return note.bend !== undefined && note.bend.shape !== 'curl';
}

function roleWords({ role }: NoteReading): string {
  return role === null || role === 'chord tone' ? '' : ` (${role})`;
}

/** A pitch with its degree: `E, 3 of C7`. @param name What the pitch is called; without its octave where absent. */
export function readingInWords(
  r: NoteReading,
  p: PitchReading,
  name: string = noteName(p.pitch),
): string {
  const chord = r.owner?.chord ?? null;
  if (chord === null || p.chordDegree === null)
    return `${name}, ${degreeName(p.keyDegree)} of the key`;
  const next = r.anticipates ? ', which comes next' : '';
  return `${name}, ${degreeName(p.chordDegree)} of ${chordName(formatChord(chord))}${next}`;
}

/** A width in semitones as a player says it. */
export function widthInWords(semitones: number): string {
  switch (semitones) {
    case 0.5:
      return 'a quarter tone';
    case 1:
      return 'a semitone';
    case 2:
      return 'a whole tone';
    case 4:
      return 'two whole tones';
    default:
      return count(semitones, 'semitone');
  }
}

/** What is done with a note, each thing in a player's words. */
export function techniqueWords(n: PitchedNote, r: NoteReading | null): string[] {
  return Object.values(NOTE_WORDS).flatMap((words) => words(n, r) ?? []);
}

/** Each technique of a note with pitch in words, in the order in which they are said. */
const NOTE_WORDS: Readonly<
  Record<PitchedTechnique, (n: PitchedNote, r: NoteReading | null) => string | null>
> = {
  attack: (n) => (n.attack === undefined ? null : ATTACKS[n.attack]),
  slideIn: (n) => (n.slideIn === undefined ? null : slideInWords(n.slideIn)),
  bend: bendWords,
  slideOut: (n) => (n.slideOut === undefined ? null : `slid off ${n.slideOut}wards`),
  vibrato: ({ vibrato: v }) => (v === undefined ? null : v === 'wide' ? 'wide vibrato' : 'vibrato'),
  trill: (n) => (n.trill === undefined ? null : `trill with ${noteName(n.trill.upper)}`),
  harmonic: (n) => (n.harmonic === undefined ? null : `${n.harmonic.kind} harmonic`),
  barDip: (n) => (n.barDip === undefined ? null : `dipped ${widthInWords(n.barDip)} with the bar`),
  ghost: (n) => (n.ghost ? 'ghost note' : null),
  letRing: (n) => (n.letRing ? 'let ring' : null),
  finger: ({ finger: f }) =>
    f === undefined ? null : f === 'T' ? 'with the thumb' : `finger ${f}`,
  pluck: (n) => (n.pluck === undefined ? null : `plucked with ${n.pluck}`),
};

function deadWords(n: DeadNote): readonly string[] {
  const words = Object.values(DEAD_WORDS).flatMap((word) => word(n) ?? []);
  return ['dead note', ...words];
}

const DEAD_WORDS: Readonly<Record<DeadTechnique, (n: DeadNote) => string | null>> = {
  scrape: ({ scrape }) =>
    scrape === undefined ? null : `the pick scraped ${scrape} the neck along the string`,
};

const ATTACKS: Readonly<Record<NonNullable<PitchedNote['attack']>, string>> = {
  'hammer-on': 'hammered on',
  'pull-off': 'pulled off',
  slide: 'slid to',
  'slide-plucked': 'slid to and plucked',
  tap: 'tapped',
};

function slideInWords(s: SlideIn): string {
  if (s.kind === 'indefinite') return `slid in from somewhere ${s.from}`;
  return `slid in from ${widthInWords(s.semitones)} ${s.from}`;
}

function bendWords(n: PitchedNote, r: NoteReading | null): string | null {
  if (n.bend === undefined) return null;
  if (n.bend.shape === 'curl') return 'curled up a quarter tone';
  const width = widthInWords(bendSemitones(n));
  const goal = r === null ? noteName(n.bend.target) : readingInWords(r, r.heard) + roleWords(r);
  switch (n.bend.shape) {
    case 'bend':
      return `bent ${width} to ${goal}`;
    case 'bend-release':
      return `bent ${width} to ${goal} and released`;
    case 'pre-bend':
      return `bent ${width} before it is struck, to ${goal}`;
    case 'pre-bend-release':
      return `bent ${width} before it is struck, to ${goal}, then released`;
  }
}

function eventWords(e: PhraseEvent, n: Note): string[] {
  return Object.values(MOMENT_WORDS).flatMap((words) => words(e, n) ?? []);
}

/** Each technique of a moment in words, in the order in which they are said. */
const MOMENT_WORDS: Readonly<Record<MomentTechnique, (e: PhraseEvent, n: Note) => string | null>> =
  {
    graces: (e, n) => (e.graces === undefined ? null : graceWords(e.graces, n.string)),
    rake: (e) => (e.rake === undefined ? null : 'raked into'),
    stroke: (e) => (e.stroke === undefined ? null : `${e.stroke}-stroke`),
    strum: (e) => (e.strum === undefined ? null : `strummed ${e.strum}`),
    palmMute: (e) => (e.palmMute ? 'palm mute' : null),
    staccato: (e) => (e.staccato ? 'staccato' : null),
    accent: (e) => (e.accent ? 'accented' : null),
    tenuto: (e) => (e.tenuto ? 'tenuto' : null),
    tremolo: (e) => (e.tremolo === undefined ? null : 'tremolo picking'),
  };

function graceWords(graces: readonly Grace[], string: number): string | null {
  const own = graces.flatMap((g) => g.notes.filter((n) => n.string === string));
  if (own.length === 0) return null;
  return `after ${count(own.length, 'grace note')} ${own.map((n) => noteName(n.pitch)).join(' ')}`;
}
