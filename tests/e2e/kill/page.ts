/*
 * A page that writes to the library without a pause and tells what it was promised, until its
 * browser is killed. It uses the storage as the app does, and nothing else of the app.
 */
import sample from '../../../samples/06-twelve-at-the-salt-loft.json?raw';
import { factsOf } from '../../../src/core/library/facts';
import { compareTitles } from '../../../src/core/library/sort';
import type { Phrase } from '../../../src/core/phrase/types';
import { decodePhrase } from '../../../src/io/json';
import { PHRASES } from '../../../src/io/kinds/kinds';
import { type LibraryStore, openLibrary } from '../../../src/storage';
import { PATIENCE } from '../../../src/storage/copy-keeper';
import type { Front, PhraseEntry } from '../../../src/storage/types';
import { IMPORTED } from './judge';
import { fillOld, spoil } from './older-and-damaged';
import type { Message, Seen } from './protocol';

const read = decodePhrase(sample);
if (!read.ok) throw new Error('the sample does not open');
const model: Phrase = read.value;
const asked = new URLSearchParams(location.search);
const session = Number(asked.get('session'));

/** What the windows write, each five phrases. */
const IDS = ['one', 'two', 'three'].flatMap((w) => [0, 1, 2, 3, 4].map((n) => `${w}-${n}`));

const waiting: Message[] = [];
let sending = false;

/** One request at a time, in order; what was acknowledged meanwhile goes with the next one. */
async function send(message: Message): Promise<void> {
  waiting.push(message);
  if (sending) return;
  sending = true;
  while (waiting.length > 0) {
    const body = JSON.stringify({ session, messages: waiting.splice(0) });
    await fetch('/tell', { method: 'POST', body });
  }
  sending = false;
}

/** A phrase whose every part that is looked at later says which write it came from. */
function version(id: string, n: number): Phrase {
  const mark = `${session}.${n}`;
  return {
    ...model,
    id,
    // Long notes now and then, up to what a phrase may hold.
    meta: { ...model.meta, title: mark, notes: mark.repeat(n % 7 === 0 ? 2_000 : 3) },
  };
}

/** How the list was shown to begin while a library opened. */
function watchEarly(store: LibraryStore): () => Front | null {
  let early: Front | null = null;
  store.subscribe(() => {
    const { state, front } = store.snapshot();
    if (state === 'opening') early = front ?? early;
  });
  return () => early;
}

const byTitle = (a: PhraseEntry, b: PhraseEntry) =>
  compareTitles({ id: a.id, title: a.identity.title }, { id: b.id, title: b.identity.title });

function judgeEarly(early: Front | null, store: LibraryStore): Seen['early'] {
  if (early === null) return 'nothing';
  const list = [...store.snapshot().phrases].sort(byTitle);
  const same = early.phrases.every((p, i) => p.id === list[i]?.id && p.sum === list[i]?.sum);
  return same && early.total === list.length ? 'right' : 'wrong';
}

/** As the page of the library does once its list is in order. */
async function keepFront(store: LibraryStore): Promise<void> {
  const { phrases } = store.snapshot();
  const first = [...phrases].sort(byTitle).slice(0, 36);
  const loaded = await store.loadAll(first.map((p) => p.id));
  store.keepFront(
    phrases,
    loaded.map(({ id, sum, phrase }) => ({ id, sum, facts: factsOf(phrase) })),
  );
}

async function seen(store: LibraryStore, early: Seen['early']): Promise<Seen> {
  const loaded = await store.loadAll(store.snapshot().phrases.map((p) => p.id));
  const { state, problems, mishap } = store.snapshot();
  return {
    state,
    mishap: mishap?.kind ?? null,
    early,
    problems: problems.map((p) => p.key),
    phrases: loaded.map(({ phrase, revision }) => ({
      id: phrase.id,
      revision,
      title: phrase.meta.title,
      whole: phrase.meta.notes?.replaceAll(phrase.meta.title, '') === '',
    })),
  };
}

/**
 * A library whose copy is put together so early that lives this short are ended while it happens, and
 * which opens with what it knows of its records, as a large one does.
 */
const open = () => openLibrary(undefined, { patience: { ...PATIENCE, rest: 0 }, many: 12, few: 0 });

/** Edits, removals and restorations of phrases of one window, one after the other. */
async function writeAlone(store: LibraryStore, window: string): Promise<never> {
  for (let n = 1; ; n++) {
    const id = `${window}-${n % 5}`;
    const there = store.snapshot().phrases.find((s) => s.id === id);
    if (there !== undefined && n % 11 === 0) {
      const removed = await store.remove([id]);
      if (removed.kind !== 'done') throw new Error(removed.kind);
      const restored = await store.restore([id]);
      if (restored.kind !== 'done') throw new Error(restored.kind);
      continue;
    }
    const result = await store.save(version(id, n), there?.revision ?? null);
    if (result.kind === 'saved') await tell(result.stored);
    else throw new Error(JSON.stringify(result));
  }
}

/** Removals that last, removals that are undone, and what comes in together, in turn. */
async function writeFates(store: LibraryStore, window: string): Promise<never> {
  const done = (kind: string) => {
    if (kind !== 'done' && kind !== 'saved') throw new Error(kind);
  };
  for (let n = 1; ; n++) {
    if (n % 3 === 0) {
      const ids = Array.from({ length: IMPORTED }, (_, k) => `in-${session}-${window}-${n}-${k}`);
      const result = await store.of(PHRASES).add(ids.map((id) => version(id, n)));
      if (result.kind !== 'saved') throw new Error(JSON.stringify(result));
      for (const { stored } of result.added) {
        await tell({ phrase: stored.value, revision: stored.revision });
      }
      continue;
    }
    const id = `fate-${session}-${window}-${n}`;
    done((await store.save(version(id, n), null)).kind);
    done((await store.remove([id])).kind);
    if (n % 3 === 1) {
      void send({ kind: 'gone', id });
      await pause();
      continue;
    }
    done((await store.restore([id])).kind);
    await tell((await store.load(id))!);
  }
}

/** Two phrases that are only ever written together. */
async function writePair(store: LibraryStore): Promise<never> {
  for (let n = 1; ; n++) {
    const items = ['pair-1', 'pair-2'].map((id) => ({
      phrase: version(id, n),
      base: store.snapshot().phrases.find((s) => s.id === id)?.revision ?? null,
    }));
    const result = await store.saveAll(items);
    if (result.kind !== 'saved') throw new Error(JSON.stringify(result));
    for (const stored of result.stored) await tell(stored);
  }
}

/** Resolves when it has been heard. */
async function tellNow(message: Message): Promise<void> {
  await fetch('/tell', { method: 'POST', body: JSON.stringify({ session, messages: [message] }) });
}

async function tell(stored: { readonly phrase: Phrase; readonly revision: number }) {
  const { id, meta } = stored.phrase;
  void send({ kind: 'saved', id, revision: stored.revision, title: meta.title });
  await pause();
}

/** Of the event loop, as a page has it between two edits; a window out of sight waits no longer. */
function pause(): Promise<void> {
  const { port1, port2 } = new MessageChannel();
  return new Promise((resolve) => {
    port1.onmessage = () => {
      port1.close();
      resolve();
    };
    port2.postMessage(null);
  });
}

async function run(): Promise<void> {
  const old = Number(asked.get('old') ?? 0);
  if (old > 0) {
    await fillOld(old, sample);
    await tellNow({ kind: 'filled', count: old });
  }
  if (asked.has('spoil')) await spoil(asked.get('spoil') ?? '');
  const one = open();
  const early = watchEarly(one);
  if (asked.has('beside')) {
    await one.opened();
    await Promise.all([writeAlone(one, 'three'), writeFates(one, 'three')]);
  }
  const state = await one.opened();
  // A life may be too short for the look that the library takes by itself after two seconds.
  if (asked.has('heal')) await one.lookThrough();
  const begun = judgeEarly(early(), one);
  // The browser may have been killed between a removal and its restoration.
  await one.restore(IDS);
  await keepFront(one);
  void send({ kind: 'opened', seen: await seen(one, begun) });
  if (state !== 'ready') return;
  // A window of its own, in a process of its own.
  if (asked.has('windows')) window.open(`/?session=${session}&beside`, '_blank', 'noopener');
  const two = open();
  await two.opened();
  await Promise.all([
    writeAlone(one, 'one'),
    writeAlone(two, 'two'),
    writePair(one),
    writeFates(two, 'two'),
  ]);
}

run().catch((e: unknown) => void send({ kind: 'broken', why: String(e) }));
