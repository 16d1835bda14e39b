import { loadOf } from '../neck/difficulty';
import { checkPlayable } from '../neck/playable';
import { fretFor, playableFrets } from '../phrase/instrument';
import { byString, mapVoices } from '../phrase/rebuild';
import type { Note, NoteId, Phrase, PitchedNote, Place } from '../phrase/types';
import { notesOf } from '../phrase/walk';
import { midiOf, pitchOfMidi } from '../theory/pitch';
import { type Guess, guessesOf } from './instead';
import { isStrungAsGuitar } from './strung';
import type { HeardNote } from './types';

/** What a note may be instead, as it would be written. */
export interface InsteadWritten extends Guess {
  /** Where another pitch or another string would be played. */
  readonly place?: Place;
  /** Whether a hand can have it there. */
  readonly playable: boolean;
  /** What it costs the hand more than as it is written, in the unit of the fingering costs; 0 where it cannot be played. */
  readonly cost: number;
}

/** Events to each side that decide whether a hand can have a note: shifts and slurs reach no further. */
const AROUND = 3;

/**
 * What a note of a phrase may be instead: what can be played before what cannot, and of these the likeliest first, by what
 * was heard, and where that says little by what it costs the hand beside its neighbours.
 * @param id Of the note in the phrase.
 */
export function insteadOf(phrase: Phrase, id: NoteId, heard: HeardNote): readonly InsteadWritten[] {
  const at = notesOf(phrase).find((x) => x.note.id === id);
  if (at === undefined || at.note.kind !== 'pitched') return [];
  const { note } = at;
  const near = around(phrase, at.onset);
  const strung = isStrungAsGuitar(phrase.instrument);
  const effort = effortIn(near);
  const taken = new Set(at.event.notes.filter((n) => n !== note).map((n) => n.string));
  const written = (g: Guess): readonly (InsteadWritten & { readonly order: number })[] => {
    const { instead } = g;
    const tries = triesOf(near, note, g).filter(
      ({ place }) => place === undefined || !taken.has(place.string),
    );
    if (instead.kind === 'bend' || instead.kind === 'absent') {
      return [{ ...g, playable: true, cost: 0, order: Math.log(g.share) }];
    }
    const all = tries.map(({ place, as }) => {
      const after = effortIn(withNote(near, id, as));
      const playable = after.faults <= effort.faults;
      const cost = playable ? after.cost - effort.cost : 0;
      const counts = Math.max(-MOST, Math.min(MOST, WEIGHT * cost));
      return {
        ...g,
        ...(place === undefined ? {} : { place }),
        playable,
        cost,
        order: Math.log(g.share) - counts - (playable ? 0 : UNPLAYABLE),
      };
    });
    const handiest = (x: (typeof all)[number]) => (x.playable ? x.cost : UNPLAYABLE);
    return all.sort((a, b) => handiest(a) - handiest(b)).slice(0, 1);
  };
  return guessesOf(heard, strung ? note.string : null)
    .flatMap(written)
    .sort((a, b) => b.order - a.order)
    .map(({ order: _, ...rest }) => rest);
}

/**
 * What the hand has to do decides between readings that are about as likely, and no more: where it costs as much as a long shift,
 * a reading counts e times less (ours; by hand, not fitted).
 */
const WEIGHT = 0.25;
const MOST = 1;
/** More than any share makes up for. */
const UNPLAYABLE = 1000;

/** A note as it would be written, and where. */
interface Try {
  readonly as: PitchedNote;
  readonly place?: Place;
}

function triesOf({ instrument }: Phrase, note: PitchedNote, { instead }: Guess): readonly Try[] {
  const midi = midiOf(note.pitch);
  const placed = (to: number, strings: readonly number[]): readonly Try[] =>
    strings.flatMap((string) => {
      const fret = fretFor(instrument, string, to);
      if (fret === null || fret > playableFrets(instrument)) return [];
      const pitch = to === midi ? note.pitch : pitchOfMidi(to, 'sharp');
      return [{ as: { ...note, pitch, string, fret }, place: { string, fret } }];
    });
  switch (instead.kind) {
    case 'pitch':
      return placed(
        midi + instead.by,
        instrument.tuning.map((_, i) => i + 1),
      );
    case 'string':
      return placed(midi, [instead.string]);
    case 'attack': {
      const { attack: _, slideIn: __, ...plucked } = note;
      return [
        { as: instead.attack === 'pluck' ? plucked : { ...plucked, attack: instead.attack } },
      ];
    }
    default:
      return [];
  }
}

/** What the hand must do in a part of a phrase: rules it breaks, and what it costs where it breaks none. */
function effortIn(p: Phrase): { readonly faults: number; readonly cost: number } {
  const load = loadOf(p);
  return load === null
    ? { faults: checkPlayable(p).length, cost: 0 }
    : { faults: 0, cost: load.cost };
}

/** The events around a moment: what is asked of one note must not cost more in a long phrase. */
function around(phrase: Phrase, onset: number): Phrase {
  const voices = mapVoices(phrase.voices, (v) => {
    const here = v.events.findIndex((e) => e.onset >= onset);
    const at = here < 0 ? v.events.length : here;
    return { ...v, events: v.events.slice(Math.max(0, at - AROUND), at + AROUND + 1) };
  });
  return { ...phrase, voices };
}

function withNote(phrase: Phrase, id: NoteId, as: PitchedNote): Phrase {
  const voices = mapVoices(phrase.voices, (v) => ({
    ...v,
    events: v.events.map((e) =>
      e.notes.some((n) => n.id === id)
        ? { ...e, notes: byString<Note>(e.notes.map((n) => (n.id === id ? as : n))) }
        : e,
    ),
  }));
  return { ...phrase, voices };
}
