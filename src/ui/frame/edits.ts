import { useEffect, useSyncExternalStore } from 'react';
import {
  goOnFrom,
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
import type { HistoryStore } from '../../storage/history-store';
import type { SaveAllResult, SaveResult } from '../../storage/types';
import { titleOf } from '../shared/facts';
import { type App, useApp } from './app-context';
import { revisionOf, touched } from './draft';

/** What a change is called. */
export interface ChangeNote {
  /** Id of the command, or `phrase.title` and the like for what is no command. */
  readonly command: string;
  /** `the title`, or the title of a command: `Bend a whole tone`. */
  readonly label: string;
  /** Follows a change of the same kind as one step with it. */
  readonly joins?: boolean;
}

/** A phrase before and after a change. */
export interface Changed {
  readonly before: Phrase;
  readonly after: Phrase;
}

/** A phrase as its last change has left it, with all that was done to it. */
interface Kept {
  /** What the first change in this window was made to. */
  readonly start: Phrase;
  readonly phrase: Phrase;
  readonly history: History;
  /** Something was done in this window, not only before the page was loaded. */
  readonly here: boolean;
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
  /** Phrases whose steps from before the reload are asked for; null once they are here. */
  private readonly fetched = new Map<string, Promise<void> | null>();
  private soon: ReturnType<typeof setTimeout> | null = null;

  /** @param past Where steps outlive the window; null where they do not. */
  constructor(
    private readonly app: Parts,
    private readonly past: Pick<HistoryStore, 'load' | 'keep'> | null = null,
  ) {
    app.store.subscribe(this.look);
    app.queue.subscribe(this.look);
  }

  subscribe = (changed: () => void): (() => void) => {
    this.listeners.add(changed);
    return () => this.listeners.delete(changed);
  };

  /** Fetches what was done to a phrase before the page was loaded; what is done here until then follows it. */
  open(id: string): void {
    const phrase = this.phrase(id);
    if (this.past === null || phrase === null || this.fetched.has(id)) return;
    const coming = this.past.load(id, phrase).then((found) => this.prepend(id, phrase, found));
    this.fetched.set(id, coming);
  }

  /** What was done before the page was loaded, while it is on its way; null where it is here. */
  coming(id: string): Promise<void> | null {
    return this.fetched.get(id) ?? null;
  }

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

  /** Takes what was done to a phrase before it was kept, so that it can still be taken back. */
  adopt(phrase: Phrase, history: History): void {
    const { id } = phrase;
    this.fetched.set(id, null);
    this.kept.set(id, { start: phrase, phrase, history, here: true });
    this.past?.keep(id, history, phrase);
    this.tell();
  }

  /**
   * Takes a change.
   * @returns the phrase as it now stands: with a new time of change.
   */
  change(before: EditState, after: EditState, note: ChangeNote): Phrase {
    const { id } = before.phrase;
    this.open(id);
    const recorded = record(this.history(id), before, after, { ...note, at: this.clock() });
    if (recorded.state.phrase === before.phrase) return before.phrase;
    return this.put(id, recorded.history, recorded.state.phrase, before.phrase);
  }

  /** Takes the last change back; null where there is none. */
  undo(id: string): Travelled | null {
    return this.travel(id, undo);
  }

  /**
   * Takes one step back, if nothing was done to the phrase since: an offer to undo may stand on the
   * page longer than the next edit takes.
   */
  undoOnly(id: string, step: Step | null): Travelled | null {
    return step !== null && this.lastStep(id) === step ? this.undo(id) : null;
  }

  /** The step that undoing takes back; null where there is none. */
  lastStep(id: string): Step | null {
    return nextSteps(this.history(id)).undo;
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
    this.open(id);
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
      this.keep(id, history, saved.stored.phrase, base);
      return saved;
    } finally {
      this.replacing.delete(id);
      this.look();
      this.tell();
    }
  }

  /**
   * Changes phrases and writes them at once, all or none; each change is a step of its phrase, too.
   * @param change Gives the same object for a phrase that stays as it is.
   */
  async replaceAll(
    ids: readonly string[],
    change: (phrase: Phrase) => Phrase,
    note: ChangeNote,
  ): Promise<{ readonly saved: SaveAllResult; readonly changed: readonly Changed[] }> {
    const { app } = this;
    await app.queue.flush();
    const changed = ids.flatMap((id): readonly Changed[] => {
      const before = this.phrase(id);
      const after = before === null ? null : change(before);
      return before === null || after === null || after === before
        ? []
        : [{ before, after: touched(app, { ...after, id }) }];
    });
    if (changed.length === 0) return { saved: { kind: 'saved', stored: [] }, changed };
    for (const { before } of changed) {
      this.open(before.id);
      this.replacing.add(before.id);
    }
    try {
      const saved = await app.store.saveAll(
        changed.map(({ after }) => ({ phrase: after, base: revisionOf(app, after.id) })),
      );
      if (saved.kind !== 'saved') return { saved, changed: [] };
      for (const { before, after } of changed) {
        const { history } = record(
          this.history(after.id),
          startEditing(before),
          startEditing(after),
          { ...note, at: this.clock() },
        );
        this.keep(after.id, history, after, before);
      }
      return { saved, changed };
    } finally {
      for (const { before } of changed) this.replacing.delete(before.id);
      this.look();
      this.tell();
    }
  }

  private travel(
    id: string,
    way: (history: History, phrase: Phrase) => Travelled | null,
  ): Travelled | null {
    const phrase = this.phrase(id);
    if (phrase === null) return null;
    const travelled = way(this.history(id), phrase);
    if (travelled === null) return null;
    return { ...travelled, phrase: this.put(id, travelled.history, travelled.phrase, phrase) };
  }

  private put(id: string, history: History, phrase: Phrase, before: Phrase): Phrase {
    const next = touched(this.app, phrase);
    this.keep(id, history, next, before);
    this.app.queue.edit(next, revisionOf(this.app, id));
    this.writeSoon();
    this.tell();
    return next;
  }

  private keep(id: string, history: History, phrase: Phrase, before: Phrase): void {
    const start = this.kept.get(id)?.start ?? before;
    this.kept.set(id, { start, phrase, history, here: true });
    // Until the steps from before are here, those of this window would be written in their place.
    if (this.fetched.get(id) === null) this.past?.keep(id, history, phrase);
  }

  /** @param at The phrase that the steps found lead to. */
  private prepend(id: string, at: Phrase, found: History): void {
    this.fetched.set(id, null);
    const kept = this.kept.get(id);
    const now = kept?.phrase ?? this.standing(id);
    const start = kept?.start ?? now;
    if (now === null || start === null) return;
    const since = kept?.history ?? NO_HISTORY;
    const history = sameMusic(start, at) ? goOnFrom(found, since) : since;
    if (history.steps.length === 0) return;
    this.kept.set(id, { start, phrase: now, history, here: kept !== undefined });
    if (since.steps.length > 0) this.past?.keep(id, history, now);
    this.tell();
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
      if (kept.here && kept.history.steps.length > 0) {
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
    return this.app.store.phrase(id)?.peek() ?? null;
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
  const made = new Edits(app, app.histories);
  ALL.set(app, made);
  return made;
}

/** What was done to a phrase; draws again when that changes. */
export function useHistory(id: string): History {
  const edits = editsOf(useApp());
  useEffect(() => edits.open(id), [edits, id]);
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

/** `Do again: “Bend a whole tone”`, for a button that says `Do again`. */
export function redoInShort(step: Step): string {
  return `Do again: ${named(step)}`;
}

function named({ label }: Step): string {
  return label.startsWith('the ') ? label : `“${label}”`;
}
