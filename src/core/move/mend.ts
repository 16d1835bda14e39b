import { openMidi, playableFrets } from '../phrase/instrument';
import { byString, mapNonEmpty } from '../phrase/rebuild';
import type {
  Attack,
  Grace,
  GraceNote,
  NoteId,
  Phrase,
  PhraseEvent,
  PitchedNote,
} from '../phrase/types';
import { legatoSource, mapNotes } from '../phrase/walk';
import type { Chord } from '../theory/chord';
import { degreeOf, degreeSign, sameDegree } from '../theory/degree';
import { intervalBetween } from '../theory/interval';
import {
  chromaOf,
  midiOf,
  mod,
  type Pitch,
  pitchAt,
  pitchOfMidi,
  staffStep,
} from '../theory/pitch';
import { spellLed } from './degrees';
import { attackWord, nameOfPitch, pitchNear } from './naming';
import { adapted, type NotePlan } from './plan';
import type { Adaptation, LaneChord } from './request';

/** What had to be changed about each note, collected while a hand is tried. */
export class Mends {
  private readonly byId = new Map<NoteId, Adaptation[]>();
  private readonly phrase: Adaptation[] = [];
  add(id: NoteId, rule: string, text: string, fallback = true): void {
    const list = this.byId.get(id) ?? [];
    list.push(adapted(rule, text, fallback));
    this.byId.set(id, list);
  }
  /** For what has no line of its own in the report: dead notes have no pitch and no degree. */
  addGeneral(rule: string, text: string): void {
    this.phrase.push(adapted(rule, text, true));
  }
  get general(): readonly Adaptation[] {
    return this.phrase;
  }
  of(id: NoteId): readonly Adaptation[] {
    return this.byId.get(id) ?? [];
  }
}

/** A pitch `semitones` above another, named by the chord it stands over (M8). */
export function nameBeside(p: Pitch, semitones: number, chord: LaneChord | undefined): Pitch {
  const midi = midiOf(p) + semitones;
  const beside = pitchAt(
    staffStep(p) + Math.sign(semitones) * (Math.abs(semitones) > 2 ? 2 : 1),
    midi,
  );
  if (chord !== undefined && chord !== null) {
    const named = byChord(chord, midi, beside);
    if (named !== null) return named;
  }
  return beside ?? pitchOfMidi(midi, semitones < 0 ? 'flat' : 'sharp');
}

function byChord(chord: Chord, midi: number, fallback: Pitch | null): Pitch | null {
  const above = mod(midi - chromaOf(chord.root), 12);
  const d = spellLed(chord, above, fallback === null ? null : degreeOf(chord.root, fallback));
  return pitchNear(chord, d, midi);
}

/**
 * M10: the bend of a note on its string. A width of nothing or less starts a semitone below the
 * target; one wider than the string allows starts as far below as it does allow; a pre-bend without
 * release keeps its width, since nobody hears where it starts.
 * @param widest Semitones.
 * @param where What allows no more than that, in words.
 */
export function mendBend(
  note: PitchedNote,
  plan: NotePlan,
  widest: number,
  mends: Mends,
  where = `string ${note.string}`,
): PitchedNote {
  if (note.bend === undefined || note.bend.shape === 'curl' || plan.target === null) {
    if (note.bend?.shape === 'curl' && isMinorThird(plan)) {
      mends.add(
        note.id,
        'M11',
        'the curl now lies on the ♭3 of a minor chord, where it may not be wanted',
        false,
      );
    }
    return note;
  }
  const before = widthBefore(plan);
  const width = midiOf(plan.target) - midiOf(note.pitch);
  let wanted = width;
  if (note.bend.shape === 'pre-bend') wanted = Math.min(before, widest);
  else if (width <= 0) wanted = 1;
  else if (width > widest) wanted = widest;
  const bend = { ...note.bend, target: plan.target };
  if (wanted === width) {
    if (width !== before && before > 0) {
      const word = width < before ? 'narrowed' : 'widened';
      mends.add(
        note.id,
        'M10',
        `bend ${word} from ${tone(before)} to ${tone(width)}: ${pathOf(plan)}`,
        false,
      );
    }
    return { ...note, bend };
  }
  const start = nameBeside(plan.target, -wanted, plan.chord);
  const why =
    note.bend.shape === 'pre-bend'
      ? 'the start of a pre-bend is not heard, so its width is kept'
      : width <= 0
        ? `start and target would meet, so it starts a semitone below on ${nameOfPitch(start)}`
        : `${tone(width)}, from ${nameOfPitch(note.pitch)} to ${nameOfPitch(plan.target)}, is too wide for ${where}, so it starts on ${nameOfPitch(start)}`;
  mends.add(
    note.id,
    'M10',
    `bend of ${tone(wanted)}: ${why}`,
    note.bend.shape !== 'pre-bend' || wanted !== before,
  );
  return { ...note, pitch: start, bend };
}

function widthBefore(plan: NotePlan): number {
  return midiOf(plan.reading.heard.pitch) - midiOf(plan.reading.start.pitch);
}

function pathOf(plan: NotePlan): string {
  const { chord } = plan;
  if (chord === undefined || chord === null || plan.target === null)
    return 'its ends move by their own steps';
  const a = degreeSign(degreeOf(chord.root, plan.start));
  const b = degreeSign(degreeOf(chord.root, plan.target));
  return `${b} lies ${tone(midiOf(plan.target) - midiOf(plan.start))} above ${a} here`;
}

function isMinorThird(plan: NotePlan): boolean {
  const { chord } = plan;
  if (chord === undefined || chord === null) return false;
  return (
    sameDegree(degreeOf(chord.root, plan.start), { number: 3, alter: -1 }) &&
    plan.reading.owner?.chord !== chord &&
    isMinorKind(chord)
  );
}

function isMinorKind(chord: Chord): boolean {
  return (
    chord.kind.startsWith('minor') ||
    chord.kind === 'major-minor' ||
    chord.kind === 'half-diminished' ||
    chord.kind.startsWith('diminished')
  );
}

/** Semitones in a player's words. */
export function tone(semitones: number): string {
  switch (semitones) {
    case 1:
      return 'a semitone';
    case 2:
      return 'a whole tone';
    case 3:
      return 'a tone and a half';
    case 4:
      return 'two tones';
    default:
      return `${semitones} semitones`;
  }
}

/** M11: a trill's upper note moves by its own degree but stays above the note. */
export function mendTrill(note: PitchedNote, plan: NotePlan, mends: Mends): PitchedNote {
  if (note.trill === undefined || plan.upper === null) return note;
  const width = midiOf(plan.upper) - midiOf(note.pitch);
  if (width >= 1) return { ...note, trill: { upper: plan.upper } };
  const upper = nameBeside(note.pitch, 1, plan.chord);
  mends.add(
    note.id,
    'M11',
    `the trill's upper note would meet the note, so it is ${nameOfPitch(upper)}`,
  );
  return { ...note, trill: { upper } };
}

/**
 * M11: after a move a hammer-on or pull-off follows the direction of the pitches, and a note that
 * comes to lie on the pitch of the note before is plucked.
 */
export function mendLegato(p: Phrase, mends: Mends): Phrase {
  return mapNotes(p, ({ note: n, voice, eventIndex }) => {
    if (n.kind === 'dead' || n.attack === undefined || n.attack === 'tap') return n;
    const source = legatoSource(p.voices[voice]!.events, eventIndex, n.string);
    if (source === null) return n;
    const attack = attackFor(n.attack, midiOf(n.pitch) - midiOf(source.pitch));
    if (attack === n.attack) return n;
    if (attack === null) {
      mends.add(n.id, 'M11', `plucked: the ${attackWord(n.attack)} would lead to the same pitch`);
      const { attack: _, ...plain } = n;
      return plain;
    }
    const text = `${n.attack} becomes ${attack}: the line now goes the other way`;
    mends.add(n.id, 'M11', text, false);
    return { ...n, attack };
  });
}

/** The attack that leads over `semitones`, or null where only a pluck is left. */
function attackFor(attack: Attack, semitones: number): Attack | null {
  if (semitones === 0) return null;
  if (attack === 'hammer-on' || attack === 'pull-off')
    return semitones > 0 ? 'hammer-on' : 'pull-off';
  return attack;
}

/**
 * M11: graces keep their semitones from the note they lead to, the one on their string or else the
 * nearest string; they go along to its string.
 * @returns The event with moved graces; frets may still lie off the neck.
 */
export function moveGraces(
  before: PhraseEvent,
  after: PhraseEvent,
  plans: ReadonlyMap<NoteId, NotePlan>,
  p: Phrase,
): PhraseEvent {
  if (before.graces === undefined) return after;
  const graces = mapNonEmpty(
    before.graces,
    (g): Grace => ({ notes: byString(g.notes.map((n) => moveGrace(n, before, after, plans, p))) }),
  );
  return { ...after, graces };
}

function moveGrace(
  n: GraceNote,
  before: PhraseEvent,
  after: PhraseEvent,
  plans: ReadonlyMap<NoteId, NotePlan>,
  p: Phrase,
): GraceNote {
  const main = before.notes
    .filter((x): x is PitchedNote => x.kind === 'pitched')
    .sort((a, b) => Math.abs(a.string - n.string) - Math.abs(b.string - n.string))[0];
  const moved = main === undefined ? undefined : after.notes.find((x) => x.id === main.id);
  if (main === undefined || moved === undefined || moved.kind === 'dead') return n;
  const interval = intervalBetween(main.pitch, n.pitch);
  const midi = midiOf(moved.pitch) + interval.semitones;
  const exact = pitchAt(staffStep(moved.pitch) + interval.steps, midi);
  const pitch = nameGrace(exact, midi, n, plans.get(main.id), moved.pitch, interval.semitones);
  const string = n.string + moved.string - main.string;
  return {
    ...n,
    pitch,
    string,
    fret:
      string < 1 || string > p.instrument.tuning.length
        ? -1
        : midi - openMidi(p.instrument, string),
  };
}

function nameGrace(
  exact: Pitch | null,
  midi: number,
  n: GraceNote,
  plan: NotePlan | undefined,
  main: Pitch,
  semitones: number,
): Pitch {
  const chord = plan?.chord;
  const source = plan?.reading.owner?.chord;
  if (chord == null || source == null) return exact ?? nameBeside(main, semitones, chord);
  // The same degree as before is the same name; otherwise M8 decides.
  if (exact !== null && sameDegree(degreeOf(chord.root, exact), degreeOf(source.root, n.pitch)))
    return exact;
  return byChord(chord, midi, exact) ?? exact ?? nameBeside(main, semitones, chord);
}

/** Whether a fret exists on the neck. */
export function onNeck(p: Phrase, fret: number): boolean {
  return fret >= 0 && fret <= playableFrets(p.instrument);
}
