import type { Attack, Note, PitchedNote } from '../../phrase/types';
import { legatoSource } from '../../phrase/walk';
import { midiOf } from '../../theory/pitch';
import { spellAt } from '../../understand/spell';
import { allPitched, type Changed, changePitched, ofPitched, withField } from '../change';
import { defineCommand } from '../command';
import { sayLost } from '../lost';
import { cannot, type Outcome } from '../outcome';
import { nextPlayable } from '../round';
import { type Chosen, chosenNotes, voiceOf } from '../select';
import type { EditState } from '../state';
import { widenBend } from './bends';

/**
 * Hammer-on where the note lies above the one before on its string, pull-off where it lies below;
 * plucked again where all that are chosen are one of the two. Where one of them can be neither,
 * nothing is taken off the others: that would be the opposite of what was asked for.
 */
export const legato = defineCommand<undefined>({
  id: 'hand.legato',
  group: 'Left hand',
  title: 'Hammer it on or pull it off, or pluck it again',
  words: 'legato slur hammer-on pull-off',
  ask: { kind: 'nothing' },
  keys: [
    { key: 'h', value: undefined },
    { key: 'p', value: undefined },
  ],
  apply: (s) => {
    // All other lengths are small letters: whoever writes means one now and then.
    if (chosenNotes(s).length === 0)
      return cannot('no note is chosen; the key of a half note is H');
    const all = allPitched(s, (n) => n.attack === 'hammer-on' || n.attack === 'pull-off');
    if (all) return withAttack(s, () => undefined, 'plucked');
    return withAttack(
      s,
      (n, at) => {
        const source = sourceOf(s, at);
        if (source === null) return noSource(n);
        if (source.fret === n.fret) return 'it lies on the same fret as the note before';
        return source.fret < n.fret ? 'hammer-on' : 'pull-off';
      },
      'hammered on or pulled off',
    );
  },
});

const ATTACKS = [
  { value: 'pluck', title: 'by plucking it' },
  { value: 'hammer-on', title: 'by a hammer-on' },
  { value: 'pull-off', title: 'by a pull-off' },
  { value: 'slide', title: 'by a slide from the note before' },
  { value: 'slide-plucked', title: 'by a slide, plucked again' },
  { value: 'tap', title: 'by a tap' },
] as const;

/** How notes begin; naming the way that all of them have plucks them. */
export const setAttack = defineCommand<(typeof ATTACKS)[number]['value']>({
  id: 'hand.attack',
  group: 'Left hand',
  title: 'Begin the note',
  words: 'slide tap hammer-on pull-off pluck legato shift',
  ask: { kind: 'choice', choices: ATTACKS },
  keys: [
    { key: '/', value: 'slide' },
    { key: 'T', value: 'tap' },
  ],
  apply: (s, attack) => {
    if (attack === 'pluck' || allPitched(s, (n) => n.attack === attack)) {
      return withAttack(s, () => undefined, 'plucked');
    }
    const named = ATTACKS.find((a) => a.value === attack)!;
    return withAttack(
      s,
      (n, at) => {
        if (attack === 'tap') return 'tap';
        return sourceOf(s, at) === null ? noSource(n) : attack;
      },
      named.title,
    );
  },
});

function withAttack(
  s: EditState,
  choose: (n: PitchedNote, at: Chosen) => Attack | undefined | string,
  say: string,
): Outcome {
  const outcome = changePitched(
    s,
    (n, at): Changed<Note> => {
      const attack = choose(n, at);
      if (attack === undefined) return withField(n, 'attack', undefined);
      if (!isAttack(attack)) return attack;
      // A note reached from another has no slide of its own into it.
      return { ...withField(n, 'slideIn', attack === 'tap' ? n.slideIn : undefined), attack };
    },
    say,
    `it is ${say} already`,
  );
  return sayLost(s, outcome, 'attack');
}

function isAttack(x: string): x is Attack {
  return ATTACKS.some((a) => a.value === x && x !== 'pluck');
}

function sourceOf(s: EditState, at: Chosen) {
  return legatoSource(voiceOf(s).events, at.eventIndex, at.note.string);
}

function noSource(n: Note): string {
  return `no note leads up to it on string ${n.string}`;
}

/** Vibrato by one key: the next kind that all that are chosen can have. */
export const nextVibrato = defineCommand<undefined>({
  id: 'hand.vibrato-next',
  group: 'Left hand',
  title: 'Give it vibrato, a wide one, or none',
  words: 'shake',
  ask: { kind: 'nothing' },
  keys: [{ key: 'v', value: undefined }],
  apply: (s) => {
    const now = ofPitched(s, (n) => n.vibrato);
    return nextPlayable<PitchedNote['vibrato']>(s, [undefined, 'narrow', 'wide'], now, (next) =>
      changePitched(
        s,
        (n) =>
          next !== undefined && n.fret === 0
            ? 'an open string cannot be given vibrato'
            : withField(n, 'vibrato', next),
        next === undefined ? 'without vibrato' : `${next} vibrato`,
      ),
    );
  },
});

/** A trill with a note so many semitones above. */
export const setTrill = defineCommand<number>({
  id: 'hand.trill',
  group: 'Left hand',
  title: 'Trill with the note above, by semitones (0: none)',
  words: 'shake hammer pull',
  ask: { kind: 'number', label: 'the trill', least: 0, most: 12, step: 1 },
  apply: (s, semitones) => {
    const outcome = changePitched(
      s,
      (n, at) => {
        if (semitones === 0) return withField(n, 'trill', undefined);
        if (n.bend !== undefined) return 'a bent note cannot be trilled';
        const plain = withField(n, 'vibrato', undefined);
        return {
          ...plain,
          trill: { upper: spellAt(s.phrase, at.event.onset, midiOf(n.pitch) + semitones) },
        };
      },
      semitones === 0 ? 'without a trill' : `trill, ${semitones} semitones`,
      semitones === 0 ? 'it has no trill' : 'it is trilled so already',
    );
    return sayLost(s, outcome, 'trill');
  },
});

/** A bar dip in whole semitones. */
export const setBarDip = defineCommand<number>({
  id: 'hand.bar-dip',
  group: 'Left hand',
  title: 'Dip it with the vibrato bar, by semitones (0: not)',
  words: 'tremolo arm whammy',
  ask: { kind: 'number', label: 'the dip', least: 0, most: 12, step: 1 },
  apply: (s, semitones) =>
    changePitched(
      s,
      (n) => withField(n, 'barDip', semitones === 0 ? undefined : semitones),
      semitones === 0 ? 'without a dip' : `dipped ${semitones} semitones`,
      semitones === 0 ? 'it is not dipped' : 'it is dipped so already',
    ),
});

/** Marks that are on or off. */
const MARKS = [
  { value: 'ghost', title: 'a ghost note, played softly' },
  { value: 'letRing', title: 'let ring' },
] as const;

/** Ghost notes and let ring: all that are chosen, unless all are. */
export const toggleMark = defineCommand<(typeof MARKS)[number]['value']>({
  id: 'hand.mark',
  group: 'Left hand',
  title: 'Mark it, or not, as',
  words: 'soft parentheses sustain ring span',
  ask: { kind: 'choice', choices: MARKS },
  keys: [
    { key: 'g', value: 'ghost' },
    { key: 'l', value: 'letRing' },
  ],
  apply: (s, field) => {
    const on = !allPitched(s, (n) => n[field] === true);
    const name = field === 'ghost' ? 'ghost note' : 'let ring';
    return changePitched(
      s,
      (n) => withField(n, field, on ? true : undefined),
      on ? name : `no ${name}`,
    );
  },
});

/** More or less of what the note has: the bend, the slide-in, the trill. */
export const adjust = defineCommand<'wider' | 'narrower'>({
  id: 'hand.adjust',
  group: 'Bends',
  title: 'Make its bend, slide-in or trill',
  words: 'width interval more less',
  ask: {
    kind: 'choice',
    choices: [
      { value: 'wider', title: 'a semitone wider' },
      { value: 'narrower', title: 'a semitone narrower' },
    ],
  },
  keys: [
    { key: 'Alt+ArrowUp', value: 'wider' },
    { key: 'Alt+ArrowDown', value: 'narrower' },
  ],
  apply: (s, way) => {
    const by = way === 'wider' ? 1 : -1;
    return changePitched(s, (n, at) => adjusted(s, n, at, by), way);
  },
});

function adjusted(s: EditState, n: PitchedNote, at: Chosen, by: 1 | -1): Changed<Note> {
  if (n.bend !== undefined) return widenBend(s, n, at, by);
  if (n.slideIn?.kind === 'interval') {
    const semitones = n.slideIn.semitones + by;
    if (semitones < 1) return 'a slide-in spans a semitone at least';
    return { ...n, slideIn: { ...n.slideIn, semitones } };
  }
  if (n.trill !== undefined) {
    const width = midiOf(n.trill.upper) - midiOf(n.pitch) + by;
    if (width < 1) return 'a trill spans a semitone at least';
    return { ...n, trill: { upper: spellAt(s.phrase, at.event.onset, midiOf(n.pitch) + width) } };
  }
  return 'it has no bend, slide-in or trill to make wider or narrower';
}
