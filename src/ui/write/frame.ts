import type { Command } from '../../core/edit/command';
import { barIndex, setMeter, setPickup } from '../../core/edit/commands/bars';
import {
  capoKeepingFrets,
  capoKeepingPitches,
  capoKeepingShapes,
  setFrets,
} from '../../core/edit/commands/instrument';
import {
  moveToKey,
  renameKey,
  setFeel,
  setTempo,
  setTempoUnit,
} from '../../core/edit/commands/key';
import { playOn, setClef, setName, setScale } from '../../core/edit/commands/kinds';
import {
  tuneKeepingFrets,
  tuneKeepingPitches,
  tuneKeepingShapes,
  tuneTo,
  tuneToFrets,
  tuneToShapes,
} from '../../core/edit/commands/tunings';
import { runCommand } from '../../core/edit/run';
import type { EditState } from '../../core/edit/state';
import { beatPlaceOf } from '../../core/phrase/time-words';
import { TYPESET } from '../../io/text/signs';
import { feelName, keyName, noteName, tempoName } from '../shared/words';

/** Stands among the choices for what is none of them and is typed. */
export const OTHER = ' other';

/** One way of changing something, where there are several. */
export interface FrameWay {
  readonly command: Command;
  /** The same for a value that is none of the command's choices and has to be typed. */
  readonly typed?: Command;
  /** What this way does with the notes: `everything moves along`. */
  readonly label: string;
}

/** Something that holds for many notes at once, so that what follows from a change is shown first. */
export interface FrameSubject {
  readonly name: string;
  /** How it is now, in a word or two. */
  readonly now: (s: EditState) => string;
  readonly ways: readonly [FrameWay, ...FrameWay[]];
  /** Where several ways lead to one thing: how the list calls it, without saying which way. */
  readonly title?: string;
  /** Where something else than the choices can be typed: what it is called, and what can be said. */
  readonly typed?: (s: EditState) => { readonly label: string; readonly hint: string };
  /** Which way is offered first for a value; absent: the first. */
  readonly suggest?: (s: EditState, value: unknown) => number;
}

const only = (command: Command): readonly [FrameWay] => [{ command, label: '' }];

/** In the order in which they stand at the head of a piece. */
export const FRAME: readonly FrameSubject[] = [
  {
    name: 'Metre',
    now: (s) => {
      const { meter } = s.phrase.bars[barIndex(s)]!;
      return `${meter.beats}/${meter.beatType} in bar ${barIndex(s) + 1}`;
    },
    ways: only(setMeter),
  },
  { name: 'Pickup', now: (s) => pickupName(s), ways: only(setPickup) },
  {
    name: 'Key',
    now: (s) => keyName(s.phrase.key),
    ways: [
      { command: moveToKey, label: 'everything moves along' },
      { command: renameKey, label: 'the notes stay, the key is called otherwise' },
    ],
  },
  { name: 'Tempo', now: (s) => tempoName(s.phrase.tempo), ways: only(setTempo) },
  {
    name: 'What the tempo counts',
    now: (s) => tempoName(s.phrase.tempo),
    ways: only(setTempoUnit),
  },
  { name: 'Feel', now: (s) => feelName(s.phrase.feel), ways: only(setFeel) },
  {
    name: 'Instrument',
    now: (s) => s.phrase.instrument.name,
    ways: [
      { command: playOn, label: 'the pitches stay, the notes are placed anew' },
      { command: setName, label: 'everything stays, it is called otherwise' },
    ],
  },
  {
    name: 'Tuning',
    now: (s) => stringNames(s),
    title: 'Tune it to',
    typed: (s) => ({
      label: `The strings, from string ${s.phrase.instrument.tuning.length} to string 1`,
      hint: `By name, such as ${stringNames(s)}; or with octaves, from string 1 on: ${stringPitches(s)}`,
    }),
    ways: [
      {
        command: tuneKeepingShapes,
        typed: tuneToShapes,
        label: 'the frets stay, key and chords move along',
      },
      { command: tuneKeepingPitches, typed: tuneTo, label: 'the pitches stay, frets change' },
      {
        command: tuneKeepingFrets,
        typed: tuneToFrets,
        label: 'the frets stay, key and chords too: notes change',
      },
    ],
    suggest: (s, value) => (shapesStay(s, tuneKeepingShapes, tuneToShapes, value) ? 0 : 1),
  },
  {
    name: 'Capo',
    now: (s) => (s.phrase.instrument.capo === 0 ? 'none' : `at fret ${s.phrase.instrument.capo}`),
    title: 'Put the capo at fret (0: none)',
    ways: [
      { command: capoKeepingShapes, label: 'the frets stay, key and chords move along' },
      { command: capoKeepingPitches, label: 'the pitches stay, frets change' },
      { command: capoKeepingFrets, label: 'the frets stay, key and chords too: notes change' },
    ],
    suggest: (s) => (nothingThere(s) ? 1 : 0),
  },
  { name: 'Frets on the neck', now: (s) => `${s.phrase.instrument.frets}`, ways: only(setFrets) },
  {
    name: 'Scale length',
    now: (s) => `${s.phrase.instrument.scaleLength} mm`,
    ways: only(setScale),
  },
  { name: 'Clef', now: (s) => CLEFS[s.phrase.instrument.clef], ways: only(setClef) },
];

/** The open strings as a tuning is said, the last string first: `E A D G B E`. */
function stringNames({ phrase }: EditState): string {
  return phrase.instrument.tuning.map(noteName).reverse().join(' ');
}

/** The open strings with their octaves, the first string first. */
function stringPitches({ phrase }: EditState): string {
  return phrase.instrument.tuning.map((p) => TYPESET.pitch(p)).join(' ');
}

const CLEFS = {
  'treble-8': 'treble, an octave lower',
  treble: 'treble',
  'bass-8': 'bass, an octave lower',
} as const;

/** Whether the shapes can stay with key and chords moved along, and there is something to move. */
function shapesStay(s: EditState, named: Command, typed: Command, value: unknown): boolean {
  if (nothingThere(s)) return false;
  const isName = named.ask.kind === 'choice' && named.ask.choices.some((c) => c.value === value);
  return runCommand(s, isName ? named : typed, value).kind === 'done';
}

/** Neither a note nor a chord is there that could move along. */
function nothingThere({ phrase }: EditState): boolean {
  return phrase.chords.length === 0 && phrase.voices.every((v) => v.events.length === 0);
}

/** The subject a command changes, and which of its ways it is; null for what shows at once. */
export function frameOf(command: Command): { subject: FrameSubject; way: number } | null {
  for (const subject of FRAME) {
    const way = subject.ways.findIndex(
      (w) => w.command.id === command.id || w.typed?.id === command.id,
    );
    if (way >= 0) return { subject, way };
  }
  return null;
}

/** The pickup by the beat its first moment falls on: `from beat 4 and`. */
function pickupName({ phrase }: EditState): string {
  if (phrase.pickup === 0) return 'none';
  return `from beat ${beatPlaceOf(phrase, 0)}`;
}
