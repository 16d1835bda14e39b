import type { NoteId } from '../../../core/phrase/types';

/** Hands out the ids of notes, none twice. */
export class IdSource {
  readonly #used = new Set<string>();
  readonly #newId: () => string;
  #collisions = 0;

  constructor(newId: () => string) {
    this.#newId = newId;
  }

  /** The wanted id where it is free and of the form ids have, else a new one. */
  take(wanted: string | null): NoteId {
    const usable = wanted !== null && /^[!-~]{1,200}$/u.test(wanted) && !this.#used.has(wanted);
    let id = usable ? wanted : this.#newId();
    // A new id may be one that another note brought along.
    while (this.#used.has(id)) id = `${this.#newId()}-${++this.#collisions}`;
    this.#used.add(id);
    return id;
  }
}
