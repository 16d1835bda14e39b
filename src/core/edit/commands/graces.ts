import { openMidi } from '../../neck/tuning';
import { slideInStart } from '../../phrase/slide-in';
import type { Attack, Grace, PitchedNote } from '../../phrase/types';
import { changeEvents, withField } from '../change';
import { defineCommand } from '../command';
import { sayLost } from '../lost';
import { chosenNotes } from '../select';
import { spellAt } from '../spell';
import type { EditState } from '../state';
import { byString } from '../voices';

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

/** A grace note before each chosen note, on its string. */
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
        const notes = e.notes.map((n) => {
          if (!ids.has(n.id) || n.kind === 'dead') return n;
          // What the old grace led to is plucked until the new one says otherwise.
          const led = e.graces?.some((g) => g.notes.some((m) => m.string === n.string)) === true;
          return led ? withField(n, 'attack', undefined) : n;
        });
        if (which === 'none') return { ...plain, notes: byString(notes) };
        const graced = notes.flatMap((n) => (ids.has(n.id) && n.kind === 'pitched' ? [n] : []));
        const [first, ...others] = graced.map((n) => graceOf(s, n, e.onset, Number(away)));
        if (first === undefined) return 'a dead note takes no grace note here';
        const grace: Grace = { notes: [first, ...others] };
        const led = notes.map((n) => {
          if (!graced.includes(n as PitchedNote) || n.kind === 'dead') return n;
          const free = withField(withField(n, 'slideIn', undefined), 'attack', undefined);
          return how === 'pluck' ? free : { ...free, attack: how as Attack };
        });
        return { ...plain, graces: [grace], notes: byString(led) };
      },
      which === 'none' ? 'without grace notes' : 'grace note',
      which === 'none' ? 'it has no grace note' : 'it has this grace note already',
    );
    // What the grace leads to is struck as the grace says, which the attack is part of.
    return sayLost(s, outcome, 'attack');
  },
});

function graceOf(s: EditState, n: PitchedNote, onset: number, away: number) {
  const pitch =
    Math.abs(away) === 1 && n.harmonic === undefined
      ? slideInStart(n, { kind: 'interval', from: away < 0 ? 'below' : 'above', semitones: 1 })
          .pitch
      : spellAt(s.phrase, onset, openMidi(s.phrase.instrument, n.string) + n.fret + away);
  return { string: n.string, fret: n.fret + away, pitch };
}
