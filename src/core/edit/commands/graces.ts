import { openMidi } from '../../phrase/instrument';
import { byString, mapGraceNotes } from '../../phrase/rebuild';
import { slideInStart } from '../../phrase/slide-in';
import type {
  Attack,
  Grace,
  GraceNote,
  Legato,
  NoteId,
  PhraseEvent,
  PitchedNote,
  Ticks,
} from '../../phrase/types';
import { gracesOn } from '../../phrase/voices';
import { spellAt } from '../../understand/spell';
import { changeEvents, withField } from '../change';
import { defineCommand } from '../command';
import { sayLost } from '../lost';
import { done } from '../outcome';
import { chosenNotes } from '../select';
import type { EditState } from '../state';

const GRACES = [
  { value: '-1 hammer-on', title: 'a semitone below, hammered on' },
  { value: '-2 hammer-on', title: 'a whole tone below, hammered on' },
  { value: '1 pull-off', title: 'a semitone above, pulled off' },
  { value: '2 pull-off', title: 'a whole tone above, pulled off' },
  { value: '-1 slide', title: 'a semitone below, slid up' },
  { value: '-1 pluck', title: 'a semitone below, plucked' },
  { value: '1 pluck', title: 'a semitone above, plucked' },
  { value: 'none', title: 'none' },
] as const;

/** A grace note before each chosen note, on its string, in the place of those it has. */
export const setGrace = defineCommand<(typeof GRACES)[number]['value']>({
  id: 'hand.grace',
  group: 'Left hand',
  title: 'Put a grace note before it:',
  words: 'ornament acciaccatura',
  ask: { kind: 'choice', choices: GRACES },
  apply: (s, which) => {
    const ids = new Set(chosenNotes(s).map((c) => c.note.id));
    const [away, how] = which === 'none' ? ['0', 'pluck'] : which.split(' ');
    const outcome = changeEvents(
      s,
      (e) => {
        const plain = withField(e, 'graces', undefined);
        // Those of other strings stay; a grace on a string without a note belongs to the whole moment.
        const chosen = e.notes.filter((n) => ids.has(n.id));
        const own = new Set(chosen.map((n) => n.string));
        const others =
          chosen.length === e.notes.length ? [] : gracesOn(e.graces, (string) => !own.has(string));
        const notes = e.notes.map((n) => {
          if (!ids.has(n.id) || n.kind === 'dead') return n;
          // What the old grace led to is plucked until the new one says otherwise.
          const led = e.graces?.some((g) => g.notes.some((m) => m.string === n.string)) === true;
          return led ? withField(n, 'attack', undefined) : n;
        });
        if (which === 'none') return { ...plain, ...asGraces(others), notes: byString(notes) };
        const graced = notes.flatMap((n) => (ids.has(n.id) && n.kind === 'pitched' ? [n] : []));
        const [first, ...more] = graced.map((n) => graceOf(s, n, e.onset, Number(away)));
        if (first === undefined) return 'a dead note takes no grace note here';
        const fresh: Grace = { notes: [first, ...more] };
        const led = notes.map((n) => {
          if (!graced.includes(n as PitchedNote) || n.kind === 'dead') return n;
          const free = withField(withField(n, 'slideIn', undefined), 'attack', undefined);
          return how === 'pluck' ? free : { ...free, attack: how as Attack };
        });
        return { ...plain, ...asGraces(withLast(others, fresh)), notes: byString(led) };
      },
      which === 'none' ? 'without grace notes' : 'grace note',
      which === 'none' ? 'it has no grace note' : 'it has this grace note already',
    );
    // What the grace leads to is struck as the grace says, which the attack is part of.
    return sayLost(s, outcome, 'attack');
  },
});

function asGraces(graces: readonly Grace[]): Pick<PhraseEvent, 'graces'> {
  const [first, ...more] = graces;
  return first === undefined ? {} : { graces: [first, ...more] };
}

/** Graces with another one, struck with the last of them: that stands right before the notes too. */
function withLast(graces: readonly Grace[], fresh: Grace): readonly Grace[] {
  const last = graces.at(-1);
  if (last === undefined) return [fresh];
  return [...graces.slice(0, -1), { notes: byString([...last.notes, ...fresh.notes]) }];
}

/** Most graces before an event, as in the stored form. */
const MOST_GRACES = 16;

/** Ways to put one more before. */
const BEFORE = GRACES.filter((g) => g.value !== 'none');

/**
 * One more grace note before the first that each chosen note has, so far from that one and leading
 * up to it as it is said: runs of two, three and more. What is there already stays.
 */
export const addGrace = defineCommand<(typeof GRACES)[number]['value']>({
  id: 'hand.grace-before',
  group: 'Left hand',
  title: 'Put one more grace note before its first:',
  words: 'ornament run second third grace',
  ask: { kind: 'choice', choices: BEFORE },
  apply: (s, which) => {
    const ids = new Set(chosenNotes(s).map((c) => c.note.id));
    const [away, how] = which.split(' ');
    let most = 0;
    const outcome = changeEvents(
      s,
      (e) => {
        const graces = withOneMore(s, e, ids, Number(away), legatoOf(how));
        if (typeof graces === 'string') return graces;
        most = Math.max(most, graces.length);
        return { ...e, graces };
      },
      'grace notes',
    );
    return outcome.kind === 'done' ? done(outcome.state, `${most} grace notes`) : outcome;
  },
});

function legatoOf(how: string | undefined): Legato | undefined {
  return how === 'hammer-on' || how === 'pull-off' || how === 'slide' ? how : undefined;
}

function withOneMore(
  s: EditState,
  e: PhraseEvent,
  ids: ReadonlySet<NoteId>,
  away: number,
  how: Legato | undefined,
): NonNullable<PhraseEvent['graces']> | string {
  const pitched = e.notes.filter((n) => ids.has(n.id) && n.kind === 'pitched');
  if (pitched.length === 0) return 'a dead note takes no grace note here';
  const old = e.graces ?? [];
  const strings = pitched
    .map((n) => n.string)
    .filter((string) => old.some((g) => g.notes.some((m) => m.string === string)));
  if (strings.length === 0) return 'it has no grace note yet';
  if (old.length >= MOST_GRACES) return `it has ${MOST_GRACES} grace notes, and no more`;
  const waiting = new Set(strings);
  const more: GraceNote[] = [];
  const led = mapGraceNotes(e, (m) => {
    if (!waiting.delete(m.string)) return m;
    more.push(graceOf(s, m, e.onset, away));
    return withField(m, 'attack', how);
  });
  return [{ notes: byString(more) }, ...(led.graces ?? [])];
}

/** A grace so many semitones from what it leads to, a semitone spelled as a slide-in is. */
function graceOf(
  s: EditState,
  to: Pick<PitchedNote, 'string' | 'fret' | 'pitch' | 'harmonic'>,
  onset: Ticks,
  away: number,
): GraceNote {
  const pitch =
    Math.abs(away) === 1 && to.harmonic === undefined
      ? slideInStart(to, { kind: 'interval', from: away < 0 ? 'below' : 'above', semitones: 1 })
          .pitch
      : spellAt(s.phrase, onset, openMidi(s.phrase.instrument, to.string) + to.fret + away);
  return { string: to.string, fret: to.fret + away, pitch };
}
