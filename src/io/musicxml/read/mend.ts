import { produce } from 'immer';
import { mapEventNotes, mapEvents } from '../../../core/phrase/rebuild';
import type { DeadNote, Note, Phrase, PhraseEvent, PitchedNote } from '../../../core/phrase/types';
import { legatoSource } from '../../../core/phrase/walk';
import { fail, ok, type Problem, type Result } from '../../../core/result';
import { widestBend } from '../../../core/technique/bend-width';
import type {
  DeadTechnique,
  MomentTechnique,
  PitchedTechnique,
} from '../../../core/technique/fields';
import {
  isTechnique,
  momentTechniques,
  noteTechniques,
  techniqueOf,
} from '../../../core/technique/table';
import { without } from '../../../core/technique/value';
import { midiOf } from '../../../core/theory/pitch';
import { checkPhrase } from '../../../core/validity/check-phrase';
import type { ImportLog } from './log';
import type { Speller } from './spelling';

/** Each round mends all problems that `checkPhrase` lists; so many rounds are tried. */
const MOST_ROUNDS = 40;

/**
 * Puts right what the model does not take: a hammer-on that goes down becomes a pull-off, a bend
 * too wide for its string the widest it takes, and a technique that cannot be where it is goes.
 * Every change is logged. A problem that cannot be mended is returned.
 */
export function mendPhrase(p: Phrase, speller: Speller, log: ImportLog): Result<Phrase> {
  let phrase = p;
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const problems = checkPhrase(phrase);
    if (problems.length === 0) return ok(phrase);
    const mended = mendAll(phrase, problems, speller, log);
    if (mended === phrase) return fail(...problems.map(asImportProblem));
    phrase = mended;
  }
  log.add('dropped', 'too many techniques cannot be where they are; all are left out');
  const bare = withoutTechniques(phrase);
  const problems = checkPhrase(bare);
  return problems.length === 0 ? ok(bare) : fail(...problems.map(asImportProblem));
}

/** The pointer leads into a phrase the reader never sees. */
function asImportProblem({ pointer: _, ...rest }: Problem): Problem {
  return rest;
}

type Draft<T> = { -readonly [K in keyof T]: T[K] };
type NoteDraft = Draft<PitchedNote>;
interface EventDraft {
  onset: number;
  notes: Note[];
  graces?: { notes: { attack?: string; string: number }[] }[];
  stroke?: string;
  strum?: string;
  rake?: number[];
}

function mendAll(
  p: Phrase,
  problems: readonly Problem[],
  speller: Speller,
  log: ImportLog,
): Phrase {
  const seen = new Set<string>();
  const gone = p.voices.map(() => new Set<number>());
  return produce(p, (draft) => {
    // From the back, so that removing a note does not shift those that are still to come.
    for (const problem of [...problems].reverse()) {
      const pointer = problem.pointer ?? '';
      const m = /^\/voices\/(\d+)\/events\/(\d+)\/(.+)$/u.exec(pointer);
      if (m === null) continue;
      const events = p.voices[Number(m[1])]!.events;
      const index = Number(m[2]);
      const event = draft.voices[Number(m[1])]!.events[index] as unknown as EventDraft;
      const owner = `${m[1]} ${m[2]} ${m[3]!.split('/').slice(0, 2).join('/')}`;
      // One change a note and round: the next look shows what is left.
      if (seen.has(owner)) continue;
      seen.add(owner);
      const done = mendAt(m[3]!, event, (string) => legatoSource(events, index, string), speller);
      if (event.notes.length === 0) gone[Number(m[1])]!.add(index);
      if (done) log.add('mended', `${problem.message}: ${done}`, { onset: event.onset });
    }
    draft.voices.forEach((v, i) => {
      if (gone[i]!.size > 0) v.events = v.events.filter((_, k) => !gone[i]!.has(k));
    });
  });
}

type Source = ReturnType<typeof legatoSource>;

/** Mends what a pointer inside an event names; says what was done, or null where nothing could be. */
function mendAt(
  path: string,
  event: EventDraft,
  sourceOn: (string: number) => Source,
  speller: Speller,
): string | null {
  const [kind, n, field, ...rest] = path.split('/');
  if (kind === 'stroke' || kind === 'strum') {
    delete event[kind];
    return `the ${kind} is left out`;
  }
  if (kind === 'rake') {
    delete event.rake;
    return 'the rake is left out';
  }
  if (kind === 'graces') return mendGrace(event, Number(n), Number(rest[0]), rest[1]);
  if (kind !== 'notes') return null;
  const note = event.notes[Number(n)];
  if (note === undefined || field === undefined) return null;
  if (field === 'string') {
    event.notes.splice(Number(n), 1);
    return 'the note is left out';
  }
  if (note.kind === 'pitched') return mendNote(note, field, event, sourceOn, speller);
  return mendDead(note, field);
}

function mendGrace(
  event: EventDraft,
  g: number,
  n: number,
  field: string | undefined,
): string | null {
  const grace = event.graces?.[g];
  const note = grace?.notes[n];
  if (grace === undefined || note === undefined) return null;
  if (field === 'attack') {
    delete note.attack;
    return 'the grace note is plucked';
  }
  grace.notes.splice(n, 1);
  if (grace.notes.length === 0) event.graces!.splice(g, 1);
  if (event.graces!.length === 0) delete event.graces;
  return 'the grace note is left out';
}

function mendNote(
  note: NoteDraft,
  field: string,
  event: EventDraft,
  sourceOn: (string: number) => Source,
  speller: Speller,
): string | null {
  if (!(field in MENDS)) return null;
  const mend = MENDS[field as PitchedTechnique];
  if (mend === null) return null;
  if (mend !== LEAVE_OUT) return mend(note, event, sourceOn, speller);
  delete note[field as PitchedTechnique];
  return `the ${techniqueOf(field as PitchedTechnique).word} is left out`;
}

/** What a dead note carries is left out where it cannot be; it is then only dead. */
function mendDead(note: Draft<DeadNote>, field: string): string | null {
  if (!isTechnique(field) || techniqueOf(field).owner !== 'dead note') return null;
  delete note[field as DeadTechnique];
  return `the ${techniqueOf(field).word} is left out`;
}

type Mend = (
  note: NoteDraft,
  event: EventDraft,
  sourceOn: (string: number) => Source,
  speller: Speller,
) => string;

const LEAVE_OUT = 'left out';

/** What is done with a technique that cannot be where it is; null where there is nothing it cannot be. */
const MENDS: Readonly<Record<PitchedTechnique, Mend | typeof LEAVE_OUT | null>> = {
  attack: (note, _, sourceOn) => {
    const source = sourceOn(note.string);
    const up = source !== null && note.fret > source.fret;
    const down = source !== null && note.fret < source.fret;
    if (note.attack === 'hammer-on' && down) {
      note.attack = 'pull-off';
      return 'it is a pull-off';
    }
    if (note.attack === 'pull-off' && up) {
      note.attack = 'hammer-on';
      return 'it is a hammer-on';
    }
    delete note.attack;
    return 'the note is plucked';
  },
  bend: (note, event, _, speller) => {
    const bend = note.bend;
    if (bend !== undefined && bend.shape !== 'curl' && note.fret > 0) {
      const most = widestBend(note.string);
      if (midiOf(bend.target) - midiOf(note.pitch) > most) {
        const target = speller.over(midiOf(note.pitch) + most, event.onset);
        note.bend = { ...bend, target };
        return `it is bent ${most} semitones`;
      }
    }
    delete note.bend;
    return 'the bend is left out';
  },
  slideIn: LEAVE_OUT,
  slideOut: LEAVE_OUT,
  vibrato: LEAVE_OUT,
  trill: LEAVE_OUT,
  harmonic: LEAVE_OUT,
  letRing: LEAVE_OUT,
  barDip: null,
  ghost: null,
  finger: null,
  pluck: null,
};

/** Whether the last resort leaves a technique of a moment out: what can be refused, or comes before a note. */
const LAST_RESORT: Readonly<Record<MomentTechnique, boolean>> = {
  stroke: true,
  strum: true,
  rake: true,
  graces: true,
  // Only a note that rings on stands against them, and that is left out.
  palmMute: false,
  staccato: false,
  accent: false,
  tenuto: false,
  tremolo: false,
};

/** The notes without anything that a rule can be about; where a natural harmonic lies it stays. */
function withoutTechniques(p: Phrase): Phrase {
  const ofNotes = noteTechniques((t) => t.givesWay && t.id !== 'harmonic');
  const ofMoments = momentTechniques().filter((f) => LAST_RESORT[f]);
  return mapEvents(p, (e) => {
    const bare = mapEventNotes(e, (n) => {
      const left = n.kind === 'dead' ? n : ofNotes.reduce<Note>(without, n);
      const artificial = left.kind === 'pitched' && left.harmonic?.kind === 'artificial';
      return artificial ? without(left, 'harmonic') : left;
    });
    return ofMoments.reduce<PhraseEvent>(without, bare);
  });
}
