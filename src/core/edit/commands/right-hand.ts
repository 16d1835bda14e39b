import type { Note, PhraseEvent, PitchedNote } from '../../phrase/types';
import { changeEvents, changePitched, withField, withNotes } from '../change';
import { defineCommand } from '../command';
import { cannot, done, type Outcome } from '../outcome';
import { chosenEvents, chosenNotes, voiceOf } from '../select';
import { strokesOf } from '../strokes';

const WAYS = [
  { value: 'stroke down', title: 'with a down-stroke' },
  { value: 'stroke up', title: 'with an up-stroke' },
  { value: 'strum down', title: 'as a strum down, the lowest string first' },
  { value: 'strum up', title: 'as a strum up, the first string first' },
  { value: 'plain', title: 'without a stroke' },
] as const;
type Way = (typeof WAYS)[number]['value'];

/** How the pick goes; the way that all that are chosen have takes it off. */
export const setStroke = defineCommand<Way>({
  id: 'pick.stroke',
  group: 'Right hand',
  title: 'Strike it',
  words: 'pick strum brush arpeggio down up stroke',
  ask: { kind: 'choice', choices: WAYS },
  keys: [
    { key: 'd', value: 'stroke down' },
    { key: 'u', value: 'stroke up' },
    { key: 'D', value: 'strum down' },
    { key: 'U', value: 'strum up' },
  ],
  apply: (s, way) => {
    const off = way === 'plain' || chosenEvents(s).every((c) => wayOf(c.event) === way);
    return changeEvents(
      s,
      (e) => struck(e, off ? 'plain' : way),
      off ? 'without a stroke' : WAYS.find((w) => w.value === way)!.title,
      'it has no stroke',
    );
  },
});

/** Strokes that go down and up in turn by the count, over what is chosen. */
export const alternate = defineCommand<'down' | 'up'>({
  id: 'pick.alternate',
  group: 'Right hand',
  title: 'Strike what is chosen in turn,',
  words: 'alternate picking strokes',
  ask: {
    kind: 'choice',
    choices: [
      { value: 'down', title: 'downwards on the beat' },
      { value: 'up', title: 'upwards on the beat' },
    ],
  },
  apply: (s, first) => {
    const chosen = chosenEvents(s).map((c) => c.event);
    const withBeat = strokesOf(s.phrase, voiceOf(s).tuplets, chosen);
    return changeEvents(
      s,
      (e, nth) => {
        const down = withBeat[nth] === (first === 'down');
        const plucked = e.notes.some(
          (n) => n.kind === 'dead' || n.attack === undefined || n.attack === 'slide-plucked',
        );
        // The pick passes over what the left hand sounds alone.
        return plucked ? struck(e, down ? 'stroke down' : 'stroke up') : struck(e, 'plain');
      },
      'strokes in turn',
      'the strokes go so already',
    );
  },
});

function wayOf(e: PhraseEvent): Way {
  if (e.stroke !== undefined) return `stroke ${e.stroke}`;
  return e.strum === undefined ? 'plain' : `strum ${e.strum}`;
}

function struck(e: PhraseEvent, way: Way): PhraseEvent | string {
  if (way.startsWith('strum') && e.notes.length < 2) return 'one note cannot be strummed';
  const plain = withField(withField(e, 'stroke', undefined), 'strum', undefined);
  switch (way) {
    case 'stroke down':
      return { ...plain, stroke: 'down' };
    case 'stroke up':
      return { ...plain, stroke: 'up' };
    case 'strum down':
      return { ...plain, strum: 'down' };
    case 'strum up':
      return { ...plain, strum: 'up' };
    case 'plain':
      return plain;
  }
}

const MARKS = [
  { value: 'palmMute', title: 'palm muted' },
  { value: 'staccato', title: 'staccato' },
  { value: 'accent', title: 'accented' },
  { value: 'tenuto', title: 'tenuto' },
] as const;

/**
 * What is on or off for whole moments: all that are chosen, unless all are. A run of palm-muted
 * moments is one span on the page.
 */
export const toggleStrike = defineCommand<(typeof MARKS)[number]['value']>({
  id: 'pick.mark',
  group: 'Right hand',
  title: 'Play it, or not,',
  words: 'palm mute accent staccato tenuto articulation span',
  ask: { kind: 'choice', choices: MARKS },
  keys: [
    { key: 'm', value: 'palmMute' },
    { key: 'A', value: 'accent' },
  ],
  apply: (s, field) => {
    const on = chosenEvents(s).some((c) => c.event[field] !== true);
    const name = MARKS.find((m) => m.value === field)!.title;
    return changeEvents(
      s,
      (e) => withField(e, field, on ? true : undefined),
      on ? name : `not ${name}`,
    );
  },
});

const TREMOLO = [
  { value: '1', title: 'eighths' },
  { value: '2', title: '16ths' },
  { value: '3', title: '32nds' },
  { value: 'none', title: 'no tremolo' },
] as const;

/** Tremolo picking. */
export const setTremolo = defineCommand<(typeof TREMOLO)[number]['value']>({
  id: 'pick.tremolo',
  group: 'Right hand',
  title: 'Pick it again and again in',
  words: 'tremolo picking repeated',
  ask: { kind: 'choice', choices: TREMOLO },
  apply: (s, which) => {
    const tremolo = which === 'none' ? undefined : (Number(which) as 1 | 2 | 3);
    return changeEvents(
      s,
      (e) => withField(e, 'tremolo', tremolo),
      tremolo === undefined ? 'no tremolo' : 'tremolo picking',
      tremolo === undefined ? 'it has no tremolo' : 'it is picked so already',
    );
  },
});

/** Muted strings raked through on the way to the note. */
export const setRake = defineCommand<number>({
  id: 'pick.rake',
  group: 'Right hand',
  title: 'Rake into it over so many lower strings (0: not)',
  words: 'rake muted strings sweep',
  ask: { kind: 'number', label: 'the number of strings', least: 0, most: 5, step: 1 },
  apply: (s, count) => {
    const strings = s.phrase.instrument.tuning.length;
    return changeEvents(
      s,
      (e) => {
        const lowest = Math.max(...e.notes.map((n) => n.string));
        if (lowest + count > strings) return fewBelow(strings, lowest);
        const [first, ...rest] = Array.from({ length: count }, (_, i) => lowest + count - i);
        return withField(e, 'rake', first === undefined ? undefined : [first, ...rest]);
      },
      count === 0 ? 'without a rake' : 'raked into',
      count === 0 ? 'it has no rake' : 'it is raked into so already',
    );
  },
});

/** Why a rake cannot begin so far below a string. */
function fewBelow(strings: number, lowest: number): string {
  const below = strings - lowest;
  if (below === 0) return `no string lies below string ${lowest}`;
  return `only ${below === 1 ? 'one string lies' : `${below} strings lie`} below string ${lowest}`;
}

const FINGERS = [
  { value: '1', title: 'the index finger' },
  { value: '2', title: 'the middle finger' },
  { value: '3', title: 'the ring finger' },
  { value: '4', title: 'the little finger' },
  { value: 'T', title: 'the thumb' },
  { value: 'none', title: 'any finger' },
] as const;

/** The finger of the fretting hand. */
export const setFinger = defineCommand<(typeof FINGERS)[number]['value']>({
  id: 'hand.finger',
  group: 'Left hand',
  title: 'Fret it with',
  words: 'fingering finger number',
  ask: { kind: 'choice', choices: FINGERS },
  apply: (s, which) => {
    const finger = fingerOf(which);
    return changePitched(
      s,
      (n) => {
        const idle = n.fret === 0 || n.attack === 'tap' || n.harmonic?.kind === 'natural';
        if (finger !== undefined && idle) return 'no finger of the fretting hand presses it';
        return withField(n, 'finger', finger);
      },
      finger === undefined ? 'no finger named' : `finger ${finger}`,
      finger === undefined ? 'no finger is named there' : `it has finger ${finger} already`,
    );
  },
});

function fingerOf(which: (typeof FINGERS)[number]['value']): PitchedNote['finger'] | undefined {
  switch (which) {
    case '1':
      return 1;
    case '2':
      return 2;
    case '3':
      return 3;
    case '4':
      return 4;
    case 'T':
      return 'T';
    case 'none':
      return undefined;
  }
}

const PLUCKS = [
  { value: 'p', title: 'p, the thumb' },
  { value: 'i', title: 'i, the index finger' },
  { value: 'm', title: 'm, the middle finger' },
  { value: 'a', title: 'a, the ring finger' },
  { value: 'c', title: 'c, the little finger' },
  { value: 'none', title: 'any finger' },
] as const;

/** The finger of the picking hand. */
export const setPluck = defineCommand<(typeof PLUCKS)[number]['value']>({
  id: 'pick.finger',
  group: 'Right hand',
  title: 'Pluck it with',
  words: 'fingerstyle pima picking hand',
  ask: { kind: 'choice', choices: PLUCKS },
  apply: (s, which) =>
    changePitched(
      s,
      (n) => withField(n, 'pluck', which === 'none' ? undefined : which),
      which === 'none' ? 'no finger named' : which,
      which === 'none' ? 'no finger is named there' : `it is plucked with ${which} already`,
    ),
});

/** A note that a move leaves on its string. */
export const togglePin = defineCommand<undefined>({
  id: 'hand.pin',
  group: 'Left hand',
  title: 'Keep it on its string in every move, or not',
  words: 'pin string hold',
  ask: { kind: 'nothing' },
  apply: (s): Outcome => {
    const chosen = chosenNotes(s);
    if (chosen.length === 0) return cannot('no note is chosen');
    const on = chosen.some((c) => c.note.pinned !== true);
    // Dead notes are kept on their strings too.
    const next = chosen.map(({ note }): [string, Note] => [
      note.id,
      withField(note, 'pinned', on ? true : undefined),
    ]);
    return done(withNotes(s, new Map(next)), on ? 'kept on its string' : 'free to move');
  },
});
