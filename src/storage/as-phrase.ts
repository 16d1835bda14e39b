import type { Phrase } from '../core/phrase/types';
import type { Identity } from '../io/kinds/kind';
import type { SaveStatus } from './edit-types';
import type {
  Added,
  AddResult,
  Conflict,
  PhraseEntry,
  Revision,
  SaveAllResult,
  SaveResult,
  Stored,
  StoredPhrase,
} from './types';

/*
 * What is said of phrases, from what is said of any kind: pages know phrases by this name.
 */

const KNOWN = new WeakMap<Stored<Phrase>, StoredPhrase>();

/** A class, since there is one for each phrase of a library. */
class OfPhrase implements StoredPhrase {
  constructor(private readonly of: Stored<Phrase>) {}

  get id(): string {
    return this.of.id;
  }

  get sum(): number {
    return this.of.sum;
  }

  get identity(): Identity {
    return this.of.identity;
  }

  get phrase(): Phrase {
    return this.of.value;
  }

  get revision(): Revision {
    return this.of.revision;
  }

  get sample(): boolean {
    return this.of.sample;
  }

  peek(): Phrase | null {
    return this.of.peek();
  }
}

/** The same object for the same stored phrase. */
export function storedPhrase(stored: Stored<Phrase>): StoredPhrase {
  const known = KNOWN.get(stored);
  if (known !== undefined) return known;
  const made = new OfPhrase(stored);
  KNOWN.set(stored, made);
  return made;
}

/** The same object for the same stored phrase, which may have to be loaded. */
export function phraseEntry(stored: Stored<Phrase>): PhraseEntry {
  return storedPhrase(stored);
}

/** The same, told of a phrase. */
export function conflictOfPhrase(conflict: Conflict<Stored<Phrase>>): Conflict {
  return conflict.kind === 'changed'
    ? { ...conflict, theirs: storedPhrase(conflict.theirs) }
    : conflict;
}

/** The same, told of a phrase. */
export function savedPhrase(result: SaveResult<Stored<Phrase>>): SaveResult {
  if (result.kind === 'saved') return { kind: 'saved', stored: storedPhrase(result.stored) };
  if (result.kind !== 'conflict') return result;
  return { kind: 'conflict', conflict: conflictOfPhrase(result.conflict) };
}

/** The same, told of phrases. */
export function savedPhrases(result: SaveAllResult<Stored<Phrase>>): SaveAllResult {
  if (result.kind === 'saved') return { kind: 'saved', stored: result.stored.map(storedPhrase) };
  if (result.kind !== 'conflicts') return result;
  return { kind: 'conflicts', conflicts: result.conflicts.map(conflictOfPhrase) };
}

/** The same, told of phrases. */
export function addedPhrases(result: AddResult<Stored<Phrase>>): AddResult {
  if (result.kind !== 'saved') return result;
  const of = (a: Added<Stored<Phrase>>): Added => ({ ...a, stored: storedPhrase(a.stored) });
  return { kind: 'saved', added: result.added.map(of) };
}

const STATUSES = new WeakMap<SaveStatus<Phrase, Stored<Phrase>>, SaveStatus>();

/** The same object for the same status. */
export function statusOfPhrase(status: SaveStatus<Phrase, Stored<Phrase>>): SaveStatus {
  const known = STATUSES.get(status);
  if (known !== undefined) return known;
  const made = statusAsPhrase(status);
  STATUSES.set(status, made);
  return made;
}

function statusAsPhrase(status: SaveStatus<Phrase, Stored<Phrase>>): SaveStatus {
  switch (status.kind) {
    case 'kept both':
      return {
        kind: 'kept both',
        theirs: storedPhrase(status.theirs),
        mine: storedPhrase(status.mine),
      };
    case 'kept removed':
      return { kind: 'kept removed', stored: storedPhrase(status.stored) };
    case 'refused': {
      const { refusal } = status;
      if (refusal.kind !== 'changed') return { ...status, refusal };
      return { ...status, refusal: { ...refusal, theirs: storedPhrase(refusal.theirs) } };
    }
    default:
      return status;
  }
}
