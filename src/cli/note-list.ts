import { positionOf } from '../core/phrase/time';
import type { DeadNote, Note, Phrase, PhraseEvent, PitchedNote } from '../core/phrase/types';
import { bendSemitones, endOf, type NoteAt, notesOf } from '../core/phrase/walk';
import type { DeadTechnique, MomentTechnique, PitchedTechnique } from '../core/technique/fields';
import { formatChord } from '../core/theory/chord';
import { type Degree, formatDegree } from '../core/theory/degree';
import { formatPitch, midiOf } from '../core/theory/pitch';
import { type Analysis, analyse } from '../core/understand/analyse';
import type { PitchReading } from '../core/understand/reading';

/**
 * One note as `show --json` lists it. Onset 0 is the phrase's first tick, the pickup is bar 0.
 * Pitch, string, fret and degrees are those of the fretted start; of a dead note pitch, midi and
 * degrees are null, and degrees against a chord are null where there is none.
 */
export interface ListedNote {
  readonly bar: number;
  /** From 1, with fractions; of the pickup counted from its end (T2). */
  readonly beat: number;
  readonly onset: number;
  readonly duration: number;
  readonly string: number;
  readonly fret: number;
  readonly pitch: string | null;
  readonly midi: number | null;
  readonly chordDegree: string | null;
  readonly keyDegree: string | null;
  /** The chord the note belongs to (D2). */
  readonly ownerChord: string | null;
  readonly role: string | null;
  readonly anchor: string | null;
  readonly techniques: readonly string[];
  /** The four below only for notes that are bent or slide. Semitones from pitch to target. */
  readonly bendSemitones?: number | null;
  readonly targetPitch?: string | null;
  readonly targetChordDegree?: string | null;
  readonly targetKeyDegree?: string | null;
}

/** Every note of the phrase by onset, then voice, then string. */
export function listNotes(p: Phrase): readonly ListedNote[] {
  const analysis = analyse(p);
  return notesOf(p).map((at) => listNote(p, analysis, at));
}

function listNote(p: Phrase, analysis: Analysis, at: NoteAt): ListedNote {
  const { note, event } = at;
  const reading = analysis.byId.get(note.id);
  const owner = reading?.owner?.chord ?? null;
  return {
    ...positionOf(p, event.onset),
    onset: event.onset,
    duration: event.duration,
    string: note.string,
    fret: note.fret,
    pitch: note.kind === 'dead' ? null : formatPitch(note.pitch),
    midi: note.kind === 'dead' ? null : midiOf(note.pitch),
    chordDegree: degreeText(reading?.start.chordDegree),
    keyDegree: degreeText(reading?.start.keyDegree),
    ownerChord: owner === null ? null : formatChord(owner),
    role: reading?.role ?? null,
    anchor: reading?.anchor ?? null,
    techniques: techniquesOf(p, at),
    ...(note.kind === 'dead' ? {} : targetOf(p, analysis, at, note)),
  };
}

function degreeText(d: Degree | null | undefined): string | null {
  return d === null || d === undefined ? null : formatDegree(d);
}

type Target = Pick<
  ListedNote,
  'bendSemitones' | 'targetPitch' | 'targetChordDegree' | 'targetKeyDegree'
>;

/**
 * Where a bend or slide leads. Of a bend the target; of a note from which the next one is slid to,
 * that next note; of a note slid into, the note itself, which is the target of its own slide. A curl
 * and a slide off lead to no pitch that has a name.
 */
function targetOf(p: Phrase, analysis: Analysis, at: NoteAt, note: PitchedNote): Target {
  const reading = analysis.byId.get(note.id)!;
  if (note.bend !== undefined) {
    const named = note.bend.shape === 'curl' ? null : reading.heard;
    return target(bendSemitones(note), named);
  }
  const next = slideTarget(p, at);
  if (next !== null) {
    return target(midiOf(next.pitch) - midiOf(note.pitch), analysis.byId.get(next.id)!.start);
  }
  if (note.slideOut !== undefined) return target(null, null);
  const slid = note.attack === 'slide' || note.attack === 'slide-plucked';
  return note.slideIn !== undefined || slid ? target(0, reading.start) : {};
}

function target(semitones: number | null, reading: PitchReading | null): Target {
  return {
    bendSemitones: semitones,
    targetPitch: reading === null ? null : formatPitch(reading.pitch),
    targetChordDegree: degreeText(reading?.chordDegree),
    targetKeyDegree: degreeText(reading?.keyDegree),
  };
}

/** The note that is slid to from this one, on its string. */
function slideTarget(p: Phrase, at: NoteAt): PitchedNote | null {
  const next: PhraseEvent | undefined = p.voices[at.voice]!.events[at.eventIndex + 1];
  if (next === undefined || next.onset !== endOf(at.event)) return null;
  const note = next.notes.find((n) => n.string === at.note.string);
  if (note === undefined || note.kind === 'dead' || hasGrace(next, note)) return null;
  return note.attack === 'slide' || note.attack === 'slide-plucked' ? note : null;
}

function hasGrace(event: PhraseEvent, note: Note): boolean {
  return event.graces?.some((g) => g.notes.some((n) => n.string === note.string)) ?? false;
}

/** Names of everything that is done with a note, in trade terms; stable, for programs to read. */
function techniquesOf(p: Phrase, at: NoteAt): string[] {
  const { note, event } = at;
  return [
    ...(note.kind === 'dead'
      ? ['dead-note', ...namesOf(DEAD_NAMES, (name) => name(note))]
      : namesOf(NOTE_NAMES, (name) => name(note))),
    ...(slideTarget(p, at) === null ? [] : ['slide-to-next']),
    ...namesOf(MOMENT_NAMES, (name) => name(event, note)),
  ];
}

function namesOf<N>(
  names: Readonly<Record<string, N | null>>,
  ask: (name: N) => readonly string[] | string | null,
): readonly string[] {
  return Object.values(names).flatMap((n) => (n === null ? [] : (ask(n) ?? [])));
}

/** Names of what is done with a note with pitch, in the order of the list; null: it has none. */
const NOTE_NAMES: Readonly<
  Record<PitchedTechnique, ((n: PitchedNote) => readonly string[] | string | null) | null>
> = {
  attack: (n) => n.attack ?? null,
  slideIn: (n) => (n.slideIn === undefined ? null : 'slide-in'),
  slideOut: (n) => (n.slideOut === undefined ? null : 'slide-out'),
  bend: bendNames,
  vibrato: ({ vibrato: v }) => (v === undefined ? null : v === 'wide' ? 'wide-vibrato' : 'vibrato'),
  trill: (n) => (n.trill === undefined ? null : 'trill'),
  harmonic: (n) => (n.harmonic === undefined ? null : `${n.harmonic.kind}-harmonic`),
  barDip: (n) => (n.barDip === undefined ? null : 'bar-dip'),
  ghost: (n) => (n.ghost ? 'ghost-note' : null),
  letRing: (n) => (n.letRing ? 'let-ring' : null),
  finger: null,
  pluck: null,
};

const DEAD_NAMES: Readonly<Record<DeadTechnique, (n: DeadNote) => string | null>> = {
  scrape: ({ scrape }) => (scrape === undefined ? null : `pick-scrape-${scrape}`),
};

/** Names of what is done with everything that is struck at a moment. */
const MOMENT_NAMES: Readonly<Record<MomentTechnique, (e: PhraseEvent, n: Note) => string | null>> =
  {
    graces: (e, n) => (e.graces !== undefined && ownsGrace(e, n) ? 'grace-note' : null),
    rake: (e) => (e.rake === undefined ? null : 'rake'),
    palmMute: (e) => (e.palmMute ? 'palm-mute' : null),
    staccato: (e) => (e.staccato ? 'staccato' : null),
    accent: (e) => (e.accent ? 'accent' : null),
    tenuto: (e) => (e.tenuto ? 'tenuto' : null),
    tremolo: (e) => (e.tremolo === undefined ? null : 'tremolo-picking'),
    stroke: (e) => (e.stroke === undefined ? null : `${e.stroke}-stroke`),
    strum: (e) => (e.strum === undefined ? null : `strum-${e.strum}`),
  };

function bendNames(n: PitchedNote): readonly string[] {
  switch (n.bend?.shape) {
    case undefined:
      return [];
    case 'bend':
      return ['bend'];
    case 'bend-release':
      return ['bend', 'release'];
    case 'pre-bend':
      return ['pre-bend'];
    case 'pre-bend-release':
      return ['pre-bend', 'release'];
    case 'curl':
      return ['curl'];
  }
}

/** Graces lead to the note on their string; those on no string of the event, to all its notes. */
function ownsGrace(event: PhraseEvent, note: Note): boolean {
  const strings = event.graces!.flatMap((g) => g.notes.map((n) => n.string));
  return strings.includes(note.string) || !event.notes.some((n) => strings.includes(n.string));
}
