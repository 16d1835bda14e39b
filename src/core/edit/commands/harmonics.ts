import { HARMONIC_NODES, openMidi } from '../../phrase/instrument';
import type { DeadNote, Harmonic, Note, PitchedNote } from '../../phrase/types';
import { bareNote } from '../../technique/value';
import { spellAt } from '../../understand/spell';
import { allPitched, changePitched, withField, withNotes } from '../change';
import { defineCommand } from '../command';
import { sayLost } from '../lost';
import { cannot, done } from '../outcome';
import { nextPlayable } from '../round';
import { type Chosen, chosenNotes } from '../select';
import type { EditState } from '../state';

const HARMONICS = [
  { value: 'natural', title: 'a natural harmonic' },
  { value: 'artificial', title: 'an artificial harmonic an octave above' },
  { value: 'pinch', title: 'a pinch harmonic an octave above' },
  { value: 'none', title: 'no harmonic' },
] as const;

/** Harmonics; the kind that all have goes off. A natural one belongs to the node over its fret. */
export const setHarmonic = defineCommand<(typeof HARMONICS)[number]['value']>({
  id: 'hand.harmonic',
  group: 'Left hand',
  title: 'Make it',
  words: 'flageolet node',
  ask: { kind: 'choice', choices: HARMONICS },
  // The circle that stands over a harmonic in notation (common practice).
  keys: [{ key: 'o', value: 'natural' }],
  apply: (s, kind) => {
    const off = kind === 'none' || allPitched(s, (n) => n.harmonic?.kind === kind);
    const outcome = changePitched(
      s,
      (n, at) => {
        const stopped = asStopped(s, n, at);
        if (off) return stopped;
        if (kind === 'natural') return asNatural(s, stopped, at);
        if (kind === 'artificial' && n.fret === 0) return 'over an open string it is a natural one';
        const harmonic: Harmonic = { kind, above: 12 };
        return { ...stopped, harmonic };
      },
      off ? 'no harmonic' : HARMONICS.find((h) => h.value === kind)!.title,
      off ? 'it is no harmonic' : `it is ${HARMONICS.find((h) => h.value === kind)!.title} already`,
    );
    return sayLost(s, outcome, 'harmonic');
  },
});

/** The note as it sounds when it is stopped. */
function asStopped(s: EditState, n: PitchedNote, at: Chosen): PitchedNote {
  if (n.harmonic?.kind !== 'natural') return withField(n, 'harmonic', undefined);
  const midi = openMidi(s.phrase.instrument, n.string) + n.fret;
  const pitch = spellAt(s.phrase, at.event.onset, midi);
  return { ...withField(n, 'harmonic', undefined), pitch };
}

function asNatural(s: EditState, n: PitchedNote, at: Chosen): PitchedNote | string {
  const above = HARMONIC_NODES[n.fret];
  if (above === undefined) {
    return `natural harmonics lie over frets ${Object.keys(HARMONIC_NODES).join(', ')}`;
  }
  const midi = openMidi(s.phrase.instrument, n.string) + above;
  return {
    ...bareNote(n),
    pitch: spellAt(s.phrase, at.event.onset, midi),
    harmonic: { kind: 'natural', above },
  };
}

/** Struck strings without pitch: all that are chosen, unless all are; then pitches again. */
export const toggleDead = defineCommand<undefined>({
  id: 'hand.dead',
  group: 'Left hand',
  title: 'Make it a dead note, or a note with pitch again',
  words: 'muted x ghost',
  ask: { kind: 'nothing' },
  keys: [{ key: 'x', value: undefined }],
  apply: (s) => {
    const chosen = chosenNotes(s);
    if (chosen.length === 0) return cannot('no note is chosen');
    const dead = chosen.some((c) => c.note.kind !== 'dead');
    const next = new Map<string, Note>();
    for (const { note, event } of chosen) {
      const { id, string, fret } = note;
      const pinned = note.pinned === true ? { pinned: true as const } : {};
      if (dead && note.kind !== 'dead') next.set(id, asDead(note));
      else if (!dead && note.kind === 'dead') {
        const midi = openMidi(s.phrase.instrument, string) + fret;
        const pitch = spellAt(s.phrase, event.onset, midi);
        next.set(id, { kind: 'pitched', id, string, fret, pitch, ...pinned });
      }
    }
    return sayLost(s, done(withNotes(s, next), dead ? 'dead note' : 'with pitch'));
  },
});

function asDead({ id, string, fret, pinned }: Note): DeadNote {
  return { kind: 'dead', id, string, fret, ...(pinned === true ? { pinned } : {}) };
}

/** The edge of the pick along the strings that are chosen; a note with pitch becomes a dead one. */
export const nextScrape = defineCommand<undefined>({
  id: 'pick.scrape-next',
  group: 'Right hand',
  title: 'Scrape along it with the pick down the neck, up, or not',
  words: 'pick slide edge winding noise',
  ask: { kind: 'nothing' },
  keys: [{ key: 'X', value: undefined }],
  apply: (s) => {
    const chosen = chosenNotes(s);
    if (chosen.length === 0) return cannot('no note is chosen');
    const now = chosen.flatMap(({ note }) => (note.kind === 'dead' ? [note.scrape] : []));
    return nextPlayable<DeadNote['scrape']>(s, [undefined, 'down', 'up'], now, (scrape) => {
      // A note with pitch is never made a dead one for want of a winding.
      const pitched = chosen.some((c) => c.note.kind !== 'dead');
      if (scrape === undefined && pitched) return cannot('it is no pick scrape');
      if (chosen.every((c) => c.note.kind === 'dead' && c.note.scrape === scrape)) {
        return cannot('it is so already');
      }
      const next = new Map<string, Note>();
      for (const { note } of chosen) {
        const dead = note.kind === 'dead' ? note : asDead(note);
        next.set(note.id, withField(dead, 'scrape', scrape));
      }
      const say = scrape === undefined ? 'without a pick scrape' : `pick scrape ${scrape} the neck`;
      return sayLost(s, done(withNotes(s, next), say), 'scrape');
    });
  },
});
