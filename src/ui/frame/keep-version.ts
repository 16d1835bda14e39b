import { baseOf } from '../../core/library/merge';
import type { Phrase } from '../../core/phrase/types';
import { COLLECTIONS, PHRASES, USES } from '../../io/kinds/kinds';
import { changedSince, titleOf } from '../shared/facts';
import type { App } from './app-context';
import { editsOf } from './edits';
import { type Done, type Step, whyNot } from './order-steps';

/**
 * Of two versions of one phrase, or of two that are nearly the same, keeps one. Of versions it stands
 * under the id of the first then, so that what names that goes on naming it; the other lies among what
 * was removed, and what named it names the one that is kept. All of it can be taken back at once.
 * @returns the id under which it stands; null where nothing was done.
 */
export async function keepOnly(app: App, keep: Phrase, other: Phrase): Promise<string | null> {
  await app.queue.flush();
  const first = firstOf(keep, other);
  const stays = first?.id ?? keep.id;
  const noun = first === null ? 'phrase' : 'version';
  const goes = stays === keep.id ? other.id : keep.id;
  const steps: Step[] = [];
  const works: readonly (() => Promise<Done>)[] = [
    async () => (stays === keep.id ? null : putInPlace(app, other, keep)),
    () => nameInstead(app, goes, stays),
    () => takeOut(app, goes),
  ];
  for (const work of works) {
    const done = await work();
    if (done === null) continue;
    if ('refused' in done) {
      const left = await takeBack(steps);
      app.notices.trouble(`Both ${noun}s are still there.`, [...done.refused, ...left]);
      return null;
    }
    steps.push(done);
  }
  app.notices.done(`“${titleOf(keep)}” is kept; the other ${noun} can be brought back.`, {
    label: 'Undo',
    run: () => {
      void takeBack(steps).then((left) => {
        if (left.length === 0) app.notices.done(`Both ${noun}s are there again.`);
        else app.notices.trouble('Not all of it could be taken back.', left);
      });
    },
  });
  return stays;
}

/**
 * Keeps both as phrases of their own: the one that came later gets a title and a beginning of its own,
 * so that nobody is asked about it again.
 */
export async function keepApart(app: App, a: Phrase, b: Phrase): Promise<void> {
  const first = firstOf(a, b) ?? a;
  const second = first === a ? b : a;
  const { title } = second.meta;
  const own =
    title === first.meta.title ? `${[...title].slice(0, 240).join('')} (second version)` : title;
  const next = { ...second, meta: { ...second.meta, title: own, created: app.now() } };
  const saved = await editsOf(app).replace(second, next, {
    command: 'phrase.apart',
    label: 'keeping both versions',
  });
  if (saved.kind !== 'saved') {
    app.notices.trouble('Nothing was changed.', whyNot(saved));
    return;
  }
  const step = editsOf(app).lastStep(second.id);
  app.notices.done(`Both are kept: “${titleOf(first)}” and “${titleOf(next)}”.`, {
    label: 'Undo',
    run: () => {
      if (editsOf(app).undoOnly(second.id, step) !== null)
        app.notices.done('Both are as they were before.');
      else app.notices.trouble('Nothing was taken back.', [changedSince(next)]);
    },
  });
}

/** The one whose id the other was made from; null where both came later. */
function firstOf(a: Phrase, b: Phrase): Phrase | null {
  if (b.parent === a.id || baseOf(b.id) === a.id) return a;
  return a.parent === b.id || baseOf(a.id) === b.id ? b : null;
}

/** The content of one version under the id of the other, which is kept as an earlier version. */
async function putInPlace(app: App, there: Phrase, next: Phrase): Promise<Done> {
  await app.store.versions?.keep(PHRASES, there, 'merge', Date.parse(app.now()));
  const { id, parent } = there;
  const saved = await editsOf(app).replace(
    there,
    { ...next, id, parent },
    {
      command: 'phrase.version',
      label: 'the choice of a version',
    },
  );
  if (saved.kind !== 'saved') return { refused: whyNot(saved) };
  const step = editsOf(app).lastStep(id);
  return {
    said: 'the other version put in place',
    undo: async () => {
      if (editsOf(app).lastStep(id) !== step) return [changedSince(next)];
      const back = await editsOf(app).replace(saved.stored.phrase, there, {
        command: 'phrase.back',
        label: 'the way back',
      });
      return whyNot(back);
    },
  };
}

/** Collections and dates of use that name one phrase name another instead. */
async function nameInstead(app: App, goes: string, stays: string): Promise<Done> {
  const undo: (() => Promise<readonly string[]>)[] = [];
  for (const kind of [COLLECTIONS, USES]) {
    const all = app.store.of<{ readonly phrases: readonly string[] }>(kind as never);
    const naming = all.all().filter(({ value }) => value.phrases.includes(goes));
    if (naming.length === 0) continue;
    const items = naming.map(({ value, revision }) => {
      const phrases = [...new Set(value.phrases.map((id) => (id === goes ? stays : id)))];
      return { value: { ...value, phrases }, base: revision };
    });
    const saved = await all.saveAll(items);
    if (saved.kind !== 'saved') {
      const left = (await Promise.all(undo.map((u) => u()))).flat();
      return { refused: [...(saved.kind === 'conflicts' ? CHANGED : whyNot(saved)), ...left] };
    }
    undo.push(async () => {
      const back = await all.saveAll(
        saved.stored.map(({ revision }, i) => ({ value: naming[i]!.value, base: revision })),
      );
      return back.kind === 'conflicts' ? CHANGED : whyNot(back);
    });
  }
  if (undo.length === 0) return null;
  return {
    said: 'named instead',
    undo: async () => (await Promise.all(undo.map((u) => u()))).flat(),
  };
}

const CHANGED = ['A collection was changed meanwhile. Look at it.'];

async function takeOut(app: App, id: string): Promise<Done> {
  const thing = { kind: PHRASES, id };
  const removed = await app.store.things.remove([thing]);
  if (removed.kind !== 'done') return { refused: whyNot(removed) };
  return {
    said: 'the other removed',
    undo: async () => whyNot(await app.store.things.restore([thing])),
  };
}

/** The last first. */
async function takeBack(steps: readonly Step[]): Promise<readonly string[]> {
  const left: string[] = [];
  for (const step of [...steps].reverse()) left.push(...(await step.undo()));
  return left;
}
