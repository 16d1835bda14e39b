import { applyFingering } from '../../../core/neck/apply';
import { withFiguresAlike } from '../../../core/neck/figures-alike';
import { DEFAULT_LIMITS, type Limits } from '../../../core/neck/limits';
import { problemOf } from '../../../core/neck/problem-of';
import { findFingerings } from '../../../core/neck/solve';
import { graceKey } from '../../../core/neck/timeline';
import { fretFor, openMidi, playableFrets } from '../../../core/phrase/instrument';
import {
  byString,
  mapEventNotes,
  mapEvents,
  mapGraceNotes,
  mapNonEmpty,
  nonEmpty,
} from '../../../core/phrase/rebuild';
import { problemPlace } from '../../../core/phrase/time-words';
import type {
  Grace,
  Instrument,
  Note,
  NoteId,
  Phrase,
  PhraseEvent,
  PitchedNote,
  Place,
  Ticks,
} from '../../../core/phrase/types';
import { endOf, mapNotes } from '../../../core/phrase/walk';
import { fail, ok, type Problem, type Result } from '../../../core/result';
import { formatPitch, midiOf, type Pitch } from '../../../core/theory/pitch';
import type { BuiltEvent, BuiltNote } from './built';
import type { ImportLog } from './log';

/** The phrase without its voices; they are made from the built events. */
export type Shell = Omit<Phrase, 'voices'>;

interface VoiceParts {
  readonly events: readonly BuiltEvent[];
  readonly tuplets: Phrase['voices'][0]['tuplets'];
}

/** Placeholder strings of notes without a place: chord and grace in the same order of pitch. */
const UNPLACED = 100;

/**
 * Makes the phrase and chooses string and fret of every note the file does not place, by the
 * fingering engine under the hard rules; where they allow nothing, with a larger hand and without
 * techniques; where even that fails, any free string.
 * @returns a Problem with bar and beat for notes that no free string can sound.
 */
export function placeNotes(
  shell: Shell,
  voices: readonly VoiceParts[],
  log: ImportLog,
): Result<Phrase> {
  const work = new Work(shell, voices, log);
  const outside = work.notesOutside();
  if (outside !== null) return fail(outside);
  return work.solve();
}

/** A larger hand, for parts that were not written for one. */
const LARGE_HAND: Limits = { ...DEFAULT_LIMITS, reach: 200, fingers: 6, lowBend: 4 };

const HARD = 'but some are hard or impossible to play as written';

class Work {
  readonly #phrase: Phrase;
  readonly #log: ImportLog;
  readonly #instrument: Instrument;
  readonly #known = new Map<NoteId, Place>();
  readonly #free = new Map<NoteId, { pitch: Pitch; onset: Ticks }>();
  readonly #stringCosts = new Map<NoteId, readonly number[]>();
  readonly #dead = new Set<NoteId>();
  readonly #pinnedDead = new Set<NoteId>();

  constructor(shell: Shell, voices: readonly VoiceParts[], log: ImportLog) {
    this.#log = log;
    this.#instrument = shell.instrument;
    const made = voices.map((v) => ({
      events: v.events.map((e) => this.#makeEvent(e)),
      tuplets: v.tuplets,
    }));
    const [first, second] = made;
    const empty = { events: [], tuplets: [] };
    this.#phrase = {
      ...shell,
      voices: second === undefined ? [first ?? empty] : [first ?? empty, second],
    };
  }

  #makeEvent(e: BuiltEvent): PhraseEvent {
    const notes = this.#rank(e.notes, (n) => this.#pitchOf(n)).map(({ item, rank }): Note => {
      const { note, placed } = item;
      const pitch = this.#pitchOf(item);
      if (placed || pitch === null) {
        this.#known.set(note.id, { string: note.string, fret: note.fret });
        return note;
      }
      this.#free.set(note.id, { pitch, onset: e.event.onset });
      if (item.stringCosts !== undefined) this.#stringCosts.set(note.id, item.stringCosts);
      const away = { string: UNPLACED + rank, fret: 0 };
      if (note.kind === 'pitched') return { ...note, ...away };
      this.#dead.add(note.id);
      if (note.pinned === true) this.#pinnedDead.add(note.id);
      return { kind: 'pitched', id: note.id, pitch, ...away };
    });
    const event: PhraseEvent = { ...e.event, notes: byString(notes) };
    const groups = nonEmpty(e.graces);
    if (groups === null) return event;
    const graces = mapNonEmpty(groups, (group, g): Grace => {
      const strings = new Set(group.filter((n) => n.placed).map((n) => n.note.string));
      const ranked = this.#rank(group, (n) => n.note.pitch).map(({ item, rank }) => {
        if (item.placed) return item;
        const beside = this.#besideMain(item.note.pitch, notes, strings);
        if (beside !== null) strings.add(beside.string);
        const place = beside ?? { string: UNPLACED + rank, fret: 0 };
        return { placed: beside !== null, note: { ...item.note, ...place } };
      });
      ranked.sort((a, b) => a.note.string - b.note.string);
      ranked.forEach(({ placed, note }, k) => {
        const key = graceKey(event, g, k);
        if (placed) this.#known.set(key, { string: note.string, fret: note.fret });
        else this.#free.set(key, { pitch: note.pitch, onset: e.event.onset });
      });
      return { notes: byString(ranked.map((r) => r.note)) };
    });
    return { ...event, graces };
  }

  /** A grace without a place lies on the string of the placed note nearest to it, if it can. */
  #besideMain(pitch: Pitch, notes: readonly Note[], used: ReadonlySet<number>): Place | null {
    const midi = midiOf(pitch);
    const near = notes
      .filter((n): n is PitchedNote => n.kind === 'pitched' && n.string < UNPLACED)
      .sort((a, b) => Math.abs(midiOf(a.pitch) - midi) - Math.abs(midiOf(b.pitch) - midi))
      .find((n) => !used.has(n.string));
    const fret = near === undefined ? null : fretFor(this.#instrument, near.string, midi);
    return near === undefined || fret === null ? null : { string: near.string, fret };
  }

  #pitchOf(n: BuiltNote): Pitch | null {
    return n.note.kind === 'pitched' ? n.note.pitch : n.deadPitch;
  }

  /** The items with their rank from the highest pitch down. */
  #rank<T>(items: readonly T[], pitchOf: (item: T) => Pitch | null): { item: T; rank: number }[] {
    const midi = (item: T) => {
      const p = pitchOf(item);
      return p === null ? -1 : midiOf(p);
    };
    return [...items].sort((a, b) => midi(b) - midi(a)).map((item, rank) => ({ item, rank }));
  }

  /** What lies outside the instrument, with an octave that would bring all of it inside. */
  notesOutside(): Problem | null {
    const i = this.#phrase.instrument;
    const fits = (midi: number) => i.tuning.some((_, k) => fretFor(i, k + 1, midi) !== null);
    const all = [...this.#free.values()];
    const outside = all.filter((n) => !fits(midiOf(n.pitch)));
    const first = outside.sort((a, b) => a.onset - b.onset)[0];
    if (first === undefined) return null;
    const others = outside.length - 1;
    const more = others === 0 ? '' : ` and ${others} more ${others === 1 ? 'note' : 'notes'}`;
    return {
      message: `${formatPitch(first.pitch)}${more} cannot be played on ${describe(i)}`,
      fix: 'Choose another part, or move the notes outside into its range.',
      ...problemPlace(this.#phrase, first.onset),
    };
  }

  solve(): Result<Phrase> {
    if (this.#free.size === 0) return ok(this.#phrase);
    const exact = this.#finger(this.#phrase, DEFAULT_LIMITS);
    if (exact !== null) return ok(this.#applied(exact, 'by the fingering rules'));
    const large =
      this.#finger(this.#phrase, LARGE_HAND) ??
      this.#finger(withoutTechniques(this.#phrase), LARGE_HAND);
    return large === null ? this.#anyString() : ok(this.#applied(large, HARD));
  }

  /** The phrase with the places chosen for the notes that had none; all others stay. */
  #applied(places: ReadonlyMap<NoteId, Place>, how: string): Phrase {
    this.#logChosen(how);
    const chosen = new Map([...places].filter(([id]) => this.#free.has(id)));
    return this.#withDead(this.#withFingers(applyFingering(this.#phrase, { places: chosen })));
  }

  /** The file names fingers for its notes, not for places: they stay with what gets a place here. */
  #withFingers(p: Phrase): Phrase {
    const named = new Map(
      this.#phrase.voices.flatMap((v) =>
        v.events.flatMap((e) =>
          e.notes.flatMap((n) =>
            n.kind === 'pitched' && n.finger !== undefined ? [[n.id, n.finger] as const] : [],
          ),
        ),
      ),
    );
    if (named.size === 0) return p;
    return mapNotes(p, ({ note }) => {
      const finger = named.get(note.id);
      return note.kind === 'dead' || finger === undefined ? note : { ...note, finger };
    });
  }

  #logChosen(how: string): void {
    const count = this.#free.size;
    this.#log.add(
      'assumed',
      `string and fret of ${count} ${count === 1 ? 'note is' : 'notes are'} chosen here ${how}`,
    );
  }

  #finger(p: Phrase, limits: Limits): ReadonlyMap<NoteId, Place> | null {
    const problem = problemOf(p, {
      limits,
      placed: false,
      wishes: (id) => {
        const place = this.#known.get(id);
        if (place !== undefined) return { onlyString: place.string, onlyFret: place.fret };
        const stringCosts = this.#stringCosts.get(id);
        return stringCosts === undefined ? {} : { stringCosts };
      },
    });
    const [found] = findFingerings(problem);
    return found === undefined ? null : withFiguresAlike(problem, found).places;
  }

  /** Notes that stood for dead ones become dead again at the places they were given. */
  #withDead(p: Phrase): Phrase {
    if (this.#dead.size === 0) return p;
    return mapNotes(p, ({ note }) => {
      if (!this.#dead.has(note.id)) return note;
      const { id, string, fret } = note;
      const pinned = this.#pinnedDead.has(id) ? { pinned: true as const } : {};
      return { kind: 'dead', id, string, fret, ...pinned };
    });
  }

  /** Any string that is free and can sound each note, whatever the hand says. */
  #anyString(): Result<Phrase> {
    const p = this.#phrase;
    const places = new Map<NoteId, Place>();
    const order = p.voices
      .flatMap((v, voice) => v.events.map((event) => ({ event, voice })))
      .sort((a, b) => a.event.onset - b.event.onset);
    // Events of one voice do not overlap, so only the last of the other one can still sound.
    const last: { event: PhraseEvent; strings: number[] }[] = [];
    for (const { event, voice } of order) {
      const other = last[1 - voice];
      const held = other !== undefined && endOf(other.event) > event.onset ? other.strings : [];
      const own = event.notes.flatMap((n) => this.#known.get(n.id)?.string ?? []);
      const free = event.notes.filter((n): n is PitchedNote => this.#free.has(n.id));
      const found = matchStrings(free, new Set([...held, ...own]), p.instrument);
      if (found === null) {
        return fail({
          message: `the ${struckHere(event)} cannot sound at once on ${describe(p.instrument)}`,
          fix: 'Take notes out of the chord, or choose a part for the instrument.',
          ...problemPlace(p, event.onset),
        });
      }
      for (const [id, place] of found) places.set(id, place);
      last[voice] = { event, strings: [...own, ...[...found.values()].map((x) => x.string)] };
      this.#placeGraces(event, places);
    }
    return ok(this.#applied(places, HARD));
  }

  #placeGraces(event: PhraseEvent, places: Map<NoteId, Place>): void {
    event.graces?.forEach((grace, g) => {
      const free = grace.notes
        .map((n, k) => ({ id: graceKey(event, g, k), pitch: n.pitch }))
        .filter((n) => this.#free.has(n.id));
      const used = grace.notes.flatMap(
        (_, k) => this.#known.get(graceKey(event, g, k))?.string ?? [],
      );
      const found = matchStrings(free, new Set(used), this.#phrase.instrument);
      for (const [id, place] of found ?? []) places.set(id, place);
    });
  }
}

function struckHere({ notes }: PhraseEvent): string {
  return notes.length === 1
    ? 'note struck here and those that are held over it'
    : `${notes.length} notes struck here`;
}

function describe(i: Instrument): string {
  const opens = i.tuning.map((_, k) => openMidi(i, k + 1));
  const low = i.tuning[opens.indexOf(Math.min(...opens))]!;
  return `'${i.name}' with ${i.tuning.length} strings from ${formatPitch(low)} and ${playableFrets(i)} frets`;
}

/** The notes alone, so that no technique stands against a place. */
function withoutTechniques(p: Phrase): Phrase {
  return mapEvents(p, (e) => {
    const bare = mapEventNotes(e, (n) => {
      if (n.kind === 'dead') return n;
      const { id, pitch, string, fret, harmonic } = n;
      const natural = harmonic?.kind === 'natural' ? { harmonic } : {};
      return { kind: 'pitched', id, pitch, string, fret, ...natural };
    });
    return mapGraceNotes(bare, ({ pitch, string, fret }) => ({ pitch, string, fret }));
  });
}

/** Strings for notes, each its own and none of those in use: augmenting paths, low frets first. */
export function matchStrings(
  notes: readonly { readonly id: NoteId; readonly pitch: Pitch }[],
  used: ReadonlySet<number>,
  i: Instrument,
): ReadonlyMap<NoteId, Place> | null {
  if (notes.length > i.tuning.length) return null;
  const options = notes.map((n) =>
    i.tuning
      .flatMap((_, k): Place[] => {
        const fret = used.has(k + 1) ? null : fretFor(i, k + 1, midiOf(n.pitch));
        return fret === null ? [] : [{ string: k + 1, fret }];
      })
      .sort((a, b) => a.fret - b.fret),
  );
  const owner = new Map<number, number>();
  const assign = (note: number, seen: Set<number>): boolean => {
    for (const { string } of options[note]!) {
      if (seen.has(string)) continue;
      seen.add(string);
      const now = owner.get(string);
      if (now === undefined || assign(now, seen)) {
        owner.set(string, note);
        return true;
      }
    }
    return false;
  };
  for (let n = 0; n < notes.length; n++) if (!assign(n, new Set())) return null;
  return new Map(
    [...owner].map(([string, n]) => [notes[n]!.id, options[n]!.find((o) => o.string === string)!]),
  );
}
