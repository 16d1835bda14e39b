import { useSyncExternalStore } from 'react';
import {
  type History,
  NO_HISTORY,
  record,
  redo,
  type Step,
  type Travelled,
  undo,
} from '../../core/edit/history';
import { type EditState, startEditing } from '../../core/edit/state';
import type { Phrase } from '../../core/phrase/types';
import type { SaveResult } from '../../storage/types';
import { type App, useApp } from '../app/app-context';
import { revisionOf, touched } from './draft';
import { titleOf } from './facts';

/** What a change is called. */
export interface ChangeNote {
  /** Id of the command, or `phrase.title` and the like for what is no command. */
  readonly command: string;
  /** `the title`, or the title of a command: `Bend a whole tone`. */
  readonly label: string;
  /** Follows a change of the same kind as one step with it. */
  readonly joins?: boolean;
}

/** A phrase as its last change has left it, with all that was done to it. */
interface Kept {
  readonly phrase: Phrase;
  readonly history: History;
}

type Parts = Pick<App, 'store' | 'queue' | 'notices' | 'now'>;

/**
 * Every change of a phrase goes through here, on whichever page it is made: it is recorded as a step
 * that can be taken back, and given to the queue that saves it. What is changed elsewhere ends the
 * steps, since they belong to a phrase that is no more.
 */
export class Edits {
  private readonly kept = new Map<string, Kept>();
  private readonly replacing = new Set<string>();
  private readonly listeners = new Set<() => void>();
  private soon: ReturnType<typeof setTimeout> | null = null;

  constructor(private readonly app: Parts) {
    app.store.subscribe(this.look);
    app.queue.subscribe(this.look);
  }

  subscribe = (changed: () => void): (() => void) => {
    this.listeners.add(changed);
    return () => this.listeners.delete(changed);
  };

  /** The phrase as it stands, with what is not yet on the disk; the same object until it changes. */
  phrase(id: string): Phrase | null {
    const now = this.standing(id);
    const kept = this.kept.get(id)?.phrase;
    return kept !== undefined && now !== null && sameMusic(kept, now) ? kept : now;
  }

  /** All that was done to a phrase; the same object until it changes. */
  history(id: string): History {
    return this.kept.get(id)?.history ?? NO_HISTORY;
  }

  /**
   * Takes a change.
   * @returns the phrase as it now stands: with a new time of change.
   */
  change(before: EditState, after: EditState, note: ChangeNote): Phrase {
    const { id } = before.phrase;
    const recorded = record(this.history(id), before, after, { ...note, at: this.clock() });
    if (recorded.state.phrase === before.phrase) return before.phrase;
    return this.put(id, recorded.history, recorded.state.phrase);
  }

  /** Takes the last change back; null where there is none. */
  undo(id: string): Travelled | null {
    return this.travel(id, undo);
  }

  /** Does again what was taken back last. */
  redo(id: string): Travelled | null {
    return this.travel(id, redo);
  }

  /**
   * Puts another phrase in the place of one and writes it at once; only what is on the disk becomes
   * a step.
   */
  async replace(before: Phrase, next: Phrase, note: ChangeNote): Promise<SaveResult> {
    const { app } = this;
    const { id } = before;
    // What was typed a moment ago goes to the disk first, so that undoing brings it back.
    await app.queue.flush();
    const base = this.phrase(id) ?? before;
    const after = touched(app, { ...next, id });
    this.replacing.add(id);
    try {
      const saved = await app.store.save(after, revisionOf(app, id));
      if (saved.kind !== 'saved') return saved;
      const { history } = record(this.history(id), startEditing(base), startEditing(after), {
        ...note,
        at: this.clock(),
      });
      this.kept.set(id, { phrase: saved.stored.phrase, history });
      return saved;
    } finally {
      this.replacing.delete(id);
      this.look();
      this.tell();
    }
  }

  private travel(
    id: string,
    way: (history: History, phrase: Phrase) => Travelled | null,
  ): Travelled | null {
    const phrase = this.phrase(id);
    const travelled = phrase === null ? null : way(this.history(id), phrase);
    if (travelled === null) return null;
    return { ...travelled, phrase: this.put(id, travelled.history, travelled.phrase) };
  }

  private put(id: string, history: History, phrase: Phrase): Phrase {
    const next = touched(this.app, phrase);
    this.kept.set(id, { phrase: next, history });
    this.app.queue.edit(next, revisionOf(this.app, id));
    this.writeSoon();
    this.tell();
    return next;
  }

  /** To the disk as soon as the change is on the screen: a crash costs the last key at most. */
  private writeSoon(): void {
    if (this.soon !== null) return;
    this.soon = setTimeout(() => {
      this.soon = null;
      void this.app.queue.flush();
    });
  }

  /** Drops the steps of phrases that were changed elsewhere, and says so. */
  private look = (): void => {
    for (const [id, kept] of this.kept) {
      const now = this.standing(id);
      // A phrase that was removed may be brought back.
      if (now === null || this.replacing.has(id) || sameMusic(kept.phrase, now)) continue;
      this.kept.delete(id);
      if (kept.history.steps.length > 0) {
        this.app.notices.show({
          kind: 'offer',
          text: `“${titleOf(now)}” was changed in another window. What was done here before can no longer be undone one by one.`,
        });
      }
      this.tell();
    }
  };

  private standing(id: string): Phrase | null {
    const status = this.app.queue.status(id);
    if ('draft' in status) return status.draft;
    return this.app.store.snapshot().phrases.find((p) => p.phrase.id === id)?.phrase ?? null;
  }

  private clock(): number {
    return Date.parse(this.app.now());
  }

  private tell(): void {
    for (const changed of [...this.listeners]) changed();
  }
}

/** Whether two are one phrase but for the time of change. */
function sameMusic(a: Phrase, b: Phrase): boolean {
  if (a === b) return true;
  const bare = (p: Phrase) => JSON.stringify({ ...p, meta: { ...p.meta, modified: '' } });
  return bare(a) === bare(b);
}

const ALL = new WeakMap<App, Edits>();

/** The changes made in this window; one for the app. */
export function editsOf(app: App): Edits {
  const known = ALL.get(app);
  if (known !== undefined) return known;
  const made = new Edits(app);
  ALL.set(app, made);
  return made;
}

/** What was done to a phrase; draws again when that changes. */
export function useHistory(id: string): History {
  const edits = editsOf(useApp());
  return useSyncExternalStore(edits.subscribe, () => edits.history(id));
}

/** The step that undoing takes back, and the one that is then done again; null where there is none. */
export function nextSteps(h: History): { readonly undo: Step | null; readonly redo: Step | null } {
  return { undo: h.steps[h.done - 1] ?? null, redo: h.steps[h.done] ?? null };
}

/** `Undo the title`, `Undo “Bend a whole tone”`. */
export function undoWords(step: Step): string {
  return `Undo ${named(step)}`;
}

/** `Do the title again`. */
export function redoWords(step: Step): string {
  return `Do ${named(step)} again`;
}

function named({ label }: Step): string {
  return label.startsWith('the ') ? label : `“${label}”`;
}
