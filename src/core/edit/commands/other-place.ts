import { openMidi, placeMidi, playableFrets } from '../../phrase/instrument';
import { mapGraceNotes } from '../../phrase/rebuild';
import type { GraceNote, Note, PhraseEvent, PitchedNote, Place } from '../../phrase/types';
import { withEvents } from '../../phrase/voices';
import { formatPitch, type Midi, midiOf, type Pitch } from '../../theory/pitch';
import { spellAt } from '../../understand/spell';
import { placesFor } from '../choose-place';
import { defineCommand } from '../command';
import { cannot, done } from '../outcome';
import { chosenNotes, voiceOf } from '../select';
import type { EditState } from '../state';
import { replaceNotes } from '../write';

/** The same note in another octave that the neck has. */
export const otherOctave = defineCommand<undefined>({
  id: 'note.other-octave',
  group: 'Moving what is chosen',
  title: 'Put the note into the next octave',
  words: 'higher lower 8va',
  ask: { kind: 'nothing' },
  keys: [{ key: 'n', value: undefined }],
  apply: (s) => {
    const at = onePitched(s);
    if (at === null) return cannot('one note must be chosen');
    if (at.bend !== undefined || at.trill !== undefined || at.harmonic !== undefined) {
      return cannot('the note carries a bend, trill or harmonic: move it by an octave instead');
    }
    if (gracesOf(s, at).length > 0) {
      return cannot('a grace note leads up to it: move it by an octave instead');
    }
    const all: Pitch[] = [];
    for (let octave = 0; octave <= 8; octave++) all.push({ ...at.pitch, octave });
    const fitting = all.filter((p) => placesAround(s, at, midiOf(p)).length > 0);
    const index = fitting.findIndex((p) => p.octave === at.pitch.octave);
    const next = fitting[(index + 1) % fitting.length];
    if (next === undefined || next.octave === at.pitch.octave) {
      return cannot('the neck has it in this octave only');
    }
    const place = placesAround(s, at, midiOf(next))[0]!;
    return done(
      replaceNotes(s, (n) => ({ ...n, ...place, pitch: next }) as Note, new Set([at.id])),
      `octave ${next.octave}`,
    );
  },
});

/** The same pitch on another string, with the graces before it. */
export const otherString = defineCommand<undefined>({
  id: 'note.other-string',
  group: 'Moving what is chosen',
  title: 'Play the note on the next string that has it',
  words: 'position same pitch elsewhere',
  ask: { kind: 'nothing' },
  keys: [{ key: 'z', value: undefined }],
  apply: (s) => {
    const at = onePitched(s);
    if (at === null) return cannot('one note must be chosen');
    if (at.harmonic?.kind === 'natural') return cannot('a natural harmonic belongs to its string');
    const midi = placeMidi(s.phrase.instrument, at);
    const fitting = placesAround(s, at, midi).filter((p) => gracesFit(s, at, p));
    const places = [...fitting, at].sort((a, b) => a.string - b.string);
    const here = places.findIndex((p) => p.string === at.string);
    const next = places[(here + 1) % places.length]!;
    if (next.string === at.string) return cannot('no other string that is free has this pitch');
    const moved = replaceNotes(
      withGracesAt(s, at, next),
      (n) => ({ ...n, string: next.string, fret: next.fret }),
      new Set([at.id]),
    );
    const { cursor } = s.selection;
    const followed = cursor.string === at.string ? { ...cursor, string: next.string } : cursor;
    return done(
      { ...moved, selection: { ...moved.selection, cursor: followed } },
      `fret ${next.fret} on string ${next.string}`,
    );
  },
});

/** The one chosen note at a place of the neck that is offered for it, with the pitch that is there; its bend keeps its width. */
export const putAtPlace = defineCommand<Place>({
  id: 'note.at-place',
  group: 'Moving what is chosen',
  title: 'Put the note at another place',
  ask: {
    kind: 'given',
    is: isPlace,
    some: () => [
      { string: 2, fret: 5 },
      { string: 1, fret: 0 },
      { string: 0, fret: 3 },
      { string: 6, fret: 40 },
    ],
  },
  apply: (s, { string, fret }) => {
    const at = onePitched(s);
    if (at === null) return cannot('one note must be chosen');
    const { instrument } = s.phrase;
    if (string < 1 || string > instrument.tuning.length) {
      return cannot(`there is no string ${string}`);
    }
    if (fret > playableFrets(instrument)) return cannot(`there is no fret ${fret}`);
    if (at.harmonic !== undefined || at.trill !== undefined) {
      return cannot('the note is a harmonic or a trill');
    }
    if (gracesOf(s, at).length > 0) return cannot('a grace note leads up to it');
    const event = eventOf(s, at);
    if (event?.notes.some((n) => n.id !== at.id && n.string === string)) {
      return cannot(`string ${string} has another note there`);
    }
    const by = openMidi(instrument, string) + fret - midiOf(at.pitch);
    const named = (from: Pitch) =>
      by === 0 ? from : spellAt(s.phrase, event?.onset ?? 0, midiOf(from) + by);
    const { bend } = at;
    const moved = {
      ...at,
      ...(bend === undefined || !('target' in bend)
        ? {}
        : { bend: { ...bend, target: named(bend.target) } }),
      pitch: named(at.pitch),
      string,
      fret,
    };
    const next = replaceNotes(s, (): Note => moved, new Set([at.id]));
    const { cursor } = s.selection;
    const followed = cursor.string === at.string ? { ...cursor, string } : cursor;
    return done(
      { ...next, selection: { ...next.selection, cursor: followed } },
      `${formatPitch(moved.pitch)}, fret ${fret} on string ${string}`,
    );
  },
});

function isPlace(x: unknown): x is Place {
  if (typeof x !== 'object' || x === null) return false;
  const { string, fret } = x as Record<string, unknown>;
  return [string, fret].every(Number.isInteger) && (fret as number) >= 0;
}

/** The chosen note where exactly one with pitch is chosen. */
function onePitched(s: EditState): PitchedNote | null {
  const [one, ...more] = chosenNotes(s);
  return one !== undefined && more.length === 0 && one.note.kind === 'pitched' ? one.note : null;
}

/** Other places for a note, on strings that nothing else of its moment is on. */
function placesAround(s: EditState, note: PitchedNote, midi: Midi) {
  const event = eventOf(s, note);
  const others = new Set(event?.notes.filter((n) => n.id !== note.id).map((n) => n.string));
  const at = {
    ...s,
    selection: { ...s.selection, cursor: { ...s.selection.cursor, onset: event?.onset ?? 0 } },
  };
  const same = midi === midiOf(note.pitch);
  return placesFor(at, midi).filter(
    (p) => !others.has(p.string) && !(same && p.string === note.string),
  );
}

function eventOf(s: EditState, note: PitchedNote): PhraseEvent | undefined {
  return voiceOf(s).events.find((e) => e.notes.some((n) => n.id === note.id));
}

/** The graces before a note on its string. */
function gracesOf(s: EditState, note: PitchedNote): readonly GraceNote[] {
  const graces = eventOf(s, note)?.graces ?? [];
  return graces.flatMap((g) => g.notes.filter((m) => m.string === note.string));
}

/** Whether the graces before a note can go along to another place of it. */
function gracesFit(s: EditState, note: PitchedNote, to: Place): boolean {
  const own = gracesOf(s, note);
  const taken = eventOf(s, note)?.graces?.some((g) => g.notes.some((m) => m.string === to.string));
  const frets = own.map((m) => m.fret + to.fret - note.fret);
  const top = playableFrets(s.phrase.instrument);
  return own.length === 0 || (taken !== true && frets.every((f) => f >= 0 && f <= top));
}

/** The graces before a note on the string it goes to, as far from it as they were. */
function withGracesAt(s: EditState, note: PitchedNote, to: Place): EditState {
  const along = (m: GraceNote): GraceNote =>
    m.string === note.string ? { ...m, string: to.string, fret: m.fret + to.fret - note.fret } : m;
  const event = eventOf(s, note);
  const phrase = withEvents(s.phrase, s.selection.voice, (events) =>
    events.map((e) => (e === event ? mapGraceNotes(e, along) : e)),
  );
  return { ...s, phrase };
}
