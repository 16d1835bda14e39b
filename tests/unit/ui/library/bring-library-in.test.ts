import { describe, expect, it } from 'vitest';
import { newCollection } from '../../../../src/core/library/collection';
import { markOfKept, valueOfKept } from '../../../../src/core/library/thinning';
import type { AnyKept, KeptVersion } from '../../../../src/core/library/versions';
import { fail, type Result } from '../../../../src/core/result';
import { decodeFile } from '../../../../src/io/file/decode-file';
import { FILE_KINDS } from '../../../../src/io/kinds/file-kinds';
import { check, type Kind } from '../../../../src/io/kinds/kind';
import { COLLECTIONS, PHRASES } from '../../../../src/io/kinds/kinds';
import { type LibraryEntry, LibraryReader } from '../../../../src/io/library/read';
import { libraryPieces } from '../../../../src/io/library/write';
import { createMemoryStore, type Refusal } from '../../../../src/storage';
import type { VersionName } from '../../../../src/storage/versions';
import {
  createImporter,
  type ImportState,
  newThings,
  type Reader,
} from '../../../../src/ui/frame/importer';
import { createNotices } from '../../../../src/ui/frame/notices';
import { takeOutAgain } from '../../../../src/ui/frame/take-out';
import { summaryOf } from '../../../../src/ui/library/import/summary';
import { NO_VERSIONS } from '../../../support/no-versions';
import { ORDERS, order } from '../../../support/orders';
import { phraseNamed } from '../../../support/phrase-named';

/* A backup of any size comes back whole, or not at all, or as far as it was let. */

type Fake = { readonly name: string; readonly text: string };

/** Reads as the worker does, some phrases at a time. */
function reader(): Reader<Fake> {
  let stopped = false;
  const readAll = async (
    text: string,
    each: (some: readonly LibraryEntry[]) => Promise<boolean>,
  ): Promise<Result<number>> => {
    const library = new LibraryReader(kinds);
    for (const entry of library.take(new TextEncoder().encode(text))) {
      if (stopped || !(await each([entry]))) return fail({ message: 'reading was stopped' });
    }
    return library.end();
  };
  return {
    read: async () => fail({ message: 'it is a library' }),
    library: async ({ text }) => ({
      check: (progress) =>
        readAll(text, async () => {
          progress(1, 0.5);
          return true;
        }),
      each: (take) =>
        readAll(text, (some) =>
          take(
            some.map(({ kind, value }) => {
              const checked = check(kind, value);
              if (!checked.ok) throw new Error('a phrase that was read is valid');
              return { kind, ...checked.value };
            }),
          ),
        ),
    }),
    stop: () => {
      stopped = true;
    },
  };
}

const kinds = [...FILE_KINDS, ORDERS];
const SIZE = 1_000;
const phrases = Array.from({ length: SIZE }, (_, i) => phraseNamed(`p${i}`, `Number ${i}`));
const backup: Fake = { name: 'phrases.json', text: [...libraryPieces(phrases)].join('') };

async function desk(refuse: () => Refusal | null = () => null) {
  const store = createMemoryStore({ refuse, phrases: [phrases[3]!] });
  await store.opened();
  return { store, importer: createImporter(store, reader) };
}

const outcome = (s: ImportState) => {
  if (s.kind !== 'done') throw new Error(`the import is ${s.kind}`);
  return s.files[0]!;
};

describe('a library that comes in', () => {
  it('is checked, then brought in, with progress, and shown once', async () => {
    const { store, importer } = await desk();
    let shown = 0;
    store.subscribe(() => {
      shown += 1;
    });
    const doing = new Set<string>();
    importer.subscribe(() => {
      const s = importer.state();
      if (s.kind === 'reading' && s.library !== null) doing.add(s.library.doing);
    });
    await importer.take([backup]);
    expect([...doing]).toEqual(['checking', 'bringing in']);
    const file = outcome(importer.state());
    expect(file).toMatchObject({ kind: 'in', remarks: [] });
    expect(file.kind === 'in' && file.phrases.filter((p) => p.how === 'same')).toHaveLength(1);
    expect(store.snapshot().phrases).toHaveLength(SIZE);
    expect(shown).toBeLessThan(5);
  });

  it('changes nothing where one of its phrases is broken', async () => {
    const { store, importer } = await desk();
    const before = store.snapshot();
    await importer.take([{ ...backup, text: backup.text.replace('"Number 900"', '9') }]);
    expect(outcome(importer.state())).toMatchObject({ kind: 'out' });
    expect(store.snapshot()).toBe(before);
  });

  it('changes nothing where the device is full half way', async () => {
    let writes = 0;
    const full: Refusal = { kind: 'quota', usage: 1, quota: 1 };
    const { store, importer } = await desk(() => (++writes === 4 ? full : null));
    await importer.take([backup]);
    expect(outcome(importer.state())).toMatchObject({ kind: 'out' });
    expect(store.snapshot().phrases.map((s) => s.id)).toEqual(['p3']);
    // Nothing is left that could be brought back.
    expect(await store.restore(phrases.map((p) => p.id))).toEqual({ kind: 'done', ids: [] });
  });

  it('says what stays where it cannot even be taken back', async () => {
    let writes = 0;
    const full: Refusal = { kind: 'quota', usage: 1, quota: 1 };
    const { store, importer } = await desk(() => (++writes < 3 ? null : full));
    await importer.take([backup]);
    const file = outcome(importer.state());
    expect(file.kind === 'out' && file.reasons.at(-1)).toMatch(/could not be taken back: \d+ /u);
    expect(store.snapshot().phrases.length).toBeGreaterThan(1);
  });

  it('that is stopped says how much came in, and the rest comes in another time', async () => {
    const { store, importer } = await desk();
    importer.subscribe(() => {
      const s = importer.state();
      if (s.kind !== 'reading' || s.library?.doing !== 'bringing in') return;
      if (s.library.entries > 300) importer.stop();
    });
    await importer.take([backup]);
    const file = outcome(importer.state());
    const came = file.kind === 'in' ? file.phrases.length : 0;
    expect(came).toBeGreaterThan(300);
    expect(came).toBeLessThan(SIZE);
    expect(store.snapshot().phrases.length).toBeGreaterThanOrEqual(came);
    expect(file.kind === 'in' && file.remarks[0]).toContain(`${came} phrases of ${SIZE} came in`);
    importer.dismiss();
    await createImporter(store, reader).take([backup]);
    expect(store.snapshot().phrases).toHaveLength(SIZE);
  });

  it('that is stopped while it is checked leaves everything as it was', async () => {
    const { store, importer } = await desk();
    const before = store.snapshot();
    importer.subscribe(() => {
      const s = importer.state();
      if (s.kind === 'reading' && s.library?.doing === 'checking') importer.stop();
    });
    await importer.take([backup]);
    expect(importer.state()).toEqual({ kind: 'idle' });
    expect(store.snapshot()).toBe(before);
  });
});

describe('what comes with phrases', () => {
  const others = [order('o1', 'For p3', 2), { ...order('o2', 'For p4', 3), phrase: 'p4' }];
  const set: Fake = {
    name: 'set.json',
    text: [...libraryPieces(phrases.slice(0, 5), others)].join(''),
  };

  it('comes in, names what it named though that has a new id, and goes out again', async () => {
    const mine = phraseNamed('p4', 'Mine, another');
    const store = createMemoryStore({ kinds, phrases: [mine] });
    await store.opened();
    await store.of(ORDERS).save(order('o1', 'Mine, another'), null);
    const importer = createImporter(store, reader);
    await importer.take([set]);
    const file = outcome(importer.state());
    if (file.kind !== 'in') throw new Error(file.reasons.join());
    expect(file.others.map((o) => [o.title, o.how])).toEqual([
      ['For p3', 'copied'],
      ['For p4', 'added'],
    ]);
    const copied = file.phrases.find((p) => p.how === 'copied');
    expect(store.of(ORDERS).get('o2')?.value.phrase).toBe(copied?.id);
    expect(summaryOf([file])).toBe('5 phrases, 2 string orders came into the library.');
    const added = newThings([file]);
    expect(added).toHaveLength(7);
    expect(await store.things.remove(added)).toMatchObject({ kind: 'done' });
    expect(store.snapshot().phrases.map((s) => s.peek())).toEqual([mine]);
    expect(
      store
        .of(ORDERS)
        .all()
        .map((s) => s.value.title),
    ).toEqual(['Mine, another']);
    await store.things.restore(added);
    expect(store.of(ORDERS).all()).toHaveLength(3);
  });

  it('doubles nothing that stands beside another since it came in before', async () => {
    const mine = phraseNamed('p4', 'Mine, another');
    const store = createMemoryStore({ kinds, phrases: [mine] });
    await store.opened();
    const importer = createImporter(store, reader);
    const hows = async () => {
      await importer.take([set]);
      const file = outcome(importer.state());
      return file.kind === 'in' ? file.phrases.map((p) => p.how).sort() : file.reasons;
    };
    expect(await hows()).toEqual(['added', 'added', 'added', 'added', 'copied']);
    const titles = () => store.snapshot().phrases.map((s) => s.peek()?.meta.title);
    const once = titles();
    expect(await hows()).toEqual(['same', 'same', 'same', 'same', 'same']);
    expect(titles()).toEqual(once);
    // What names it still finds the copy, not what has its id here.
    const copy = store.snapshot().phrases.find((s) => s.peek()?.parent === 'p4');
    expect(store.of(ORDERS).all()).toHaveLength(2);
    expect(store.of(ORDERS).get('o2')?.value.phrase).toBe(copy?.id);
    expect(store.snapshot().phrases.map((s) => s.peek())).toContainEqual(mine);
  });

  it('is taken back with the phrases where the device is full', async () => {
    let writes = 0;
    const full: Refusal = { kind: 'quota', usage: 1, quota: 1 };
    const store = createMemoryStore({ kinds, refuse: () => (++writes === 3 ? full : null) });
    await store.opened();
    const importer = createImporter(store, reader);
    const many = Array.from({ length: 300 }, (_, i) => order(`o${i}`, `Order ${i}`));
    await importer.take([
      { name: 'x.json', text: [...libraryPieces(phrases.slice(0, 250), many)].join('') },
    ]);
    expect(outcome(importer.state()).kind).toBe('out');
    expect([store.snapshot().phrases, store.of(ORDERS).all()]).toEqual([[], []]);
  });

  it('is written in one go with phrases of a small file, or not at all', async () => {
    const store = createMemoryStore({ kinds });
    await store.opened();
    const small: Reader<{ readonly name: string }> = {
      read: async () => decodeFile('set.json', new TextEncoder().encode(set.text), ORIGIN),
      stop: () => {},
    };
    const importer = createImporter(store, () => small);
    await importer.take([{ name: 'set.json' }, { name: 'again.json' }]);
    expect(importer.state()).toMatchObject({
      files: [
        { phrases: [{ how: 'added' }, {}, {}, {}, {}], others: [{ how: 'added' }, {}] },
        { phrases: [{ how: 'same' }, {}, {}, {}, {}], others: [{ how: 'same' }, {}] },
      ],
    });
  });
});

const ORIGIN = { kinds, newId: () => 'new', now: '2026-03-01T00:00:00Z' };

describe('a solo that comes in with what it is made of', () => {
  it.each(['in pieces', 'in one go'])('knows it under its new name: %s', async (how) => {
    const part = (source: string) => {
      return { source, title: source, notes: `${source}.`, octaves: 0, laid: 7 };
    };
    // Before its parts in the file, and one of them is another one here.
    const solo = { ...phraseNamed('a-solo', 'Solo'), parts: [part('p1'), part('p2')] };
    const child = { ...phraseNamed('child', 'Moved'), parent: 'p1' };
    const file = [solo, child, phraseNamed('p1', 'Theirs'), phraseNamed('p2', 'Both')];
    const store = createMemoryStore({ phrases: [phraseNamed('p1', 'Mine'), file[3]!] });
    await store.opened();
    const text = [...libraryPieces(file)].join('');
    const small: Reader<Fake> = {
      read: async (f) => decodeFile(f.name, new TextEncoder().encode(f.text), ORIGIN),
      stop: () => {},
    };
    const importer = createImporter(store, how === 'in pieces' ? reader : () => small);
    await importer.take([{ name: 'solo.json', text }]);
    const came = outcome(importer.state());
    if (came.kind !== 'in') throw new Error(came.reasons.join());
    const copy = came.phrases.find((p) => p.how === 'copied')!.id;
    const here = (id: string) => store.phrase(id)!.peek()!;
    expect(here('a-solo').parts?.map((p) => p.source)).toEqual([copy, 'p2']);
    expect(here('child').parent).toBe(copy);
    expect([here('p1').meta.title, here(copy).meta.title]).toEqual(['Mine', 'Theirs']);
    // It still is what came in beside the one that is here.
    expect(here(copy).parent).toBe('p1');
  });
});

describe('a backup from before a phrase was changed', () => {
  it.each(['in pieces', 'in one go'])(
    'offers no other version of what was made of it: %s',
    async (how) => {
      const was = phraseNamed('p1', 'As it was');
      const here = phraseNamed('p1', 'As it is');
      const kept = { kept: 2, made: 1, why: 'edit' } as const;
      const versions = {
        ...NO_VERSIONS,
        // Of phrases alone is anything kept here.
        list: async <T>(_: Kind<T>, id: string) =>
          id === 'p1' ? [{ ...kept, value: was as T }] : [],
      };
      const store = createMemoryStore({ phrases: [here, phraseNamed('p2', 'Two')], versions });
      await store.opened();
      // The second was changed here and there: nobody knows which of the two is meant.
      const both = [was, phraseNamed('p2', 'Changed elsewhere'), phraseNamed('p3', 'Three')];
      const list = newCollection(['p1'], { id: 'week', now: ORIGIN.now, title: 'Week 3' });
      const text = [...libraryPieces(both, [list])].join('');
      const small: Reader<Fake> = {
        read: async (f) => decodeFile(f.name, new TextEncoder().encode(f.text), ORIGIN),
        stop: () => {},
      };
      const importer = createImporter(store, how === 'in pieces' ? reader : () => small);
      await importer.take([{ name: 'old.json', text }]);
      const file = outcome(importer.state());
      if (file.kind !== 'in') throw new Error(file.reasons.join());
      const came = Object.fromEntries(file.phrases.map((p) => [p.title, p.how]));
      expect(came).toEqual({ 'As it was': 'older', 'Changed elsewhere': 'copied', Three: 'added' });
      expect(store.phrase('p1')!.peek()).toEqual(here);
      expect(store.of(COLLECTIONS).get('week')!.value.phrases).toEqual(['p1']);
      expect(newThings([file]).map((t) => t.title)).not.toContain('As it was');
    },
  );
});

describe('what was added a moment ago', () => {
  it('is withdrawn only as it was added', async () => {
    const { store } = await desk();
    const all = store.of(PHRASES);
    const added = await all.add([phraseNamed('x', 'Quay'), phraseNamed('y', 'Jetty')]);
    if (added.kind !== 'saved') throw new Error(added.kind);
    const [x, y] = added.added.map((a) => a.stored);
    await all.save(phraseNamed('y', 'Mine by now'), y!.revision);
    expect(await all.withdraw([x!, y!])).toEqual({ kind: 'done', ids: ['x'] });
    expect(all.get('y')?.value.meta.title).toBe('Mine by now');
    expect(all.get('x')).toBeNull();
  });
});

describe('a collection that is here already', () => {
  const now = '2026-11-27T12:00:00.000Z';
  const week = (phrases: readonly string[], title = 'Week 3') =>
    newCollection(phrases, { id: 'week', now, title });
  const mine = phraseNamed('p3', 'Mine');

  it.each(['in pieces', 'in one go'])(
    'takes what it lacks, under the ids that came of it: %s',
    async (how) => {
      const store = createMemoryStore({ phrases: [mine] });
      await store.opened();
      await store.of(COLLECTIONS).save(week(['x', 'p3', 'y']), null);
      const pieces = libraryPieces([phraseNamed('p1', 'One'), phrases[3]!], [week(['p3', 'p1'])]);
      const text = [...pieces].join('');
      const small: Reader<Fake> = {
        read: async (f) =>
          decodeFile(f.name, new TextEncoder().encode(f.text), { newId: () => 'n', now }),
        stop: () => {},
      };
      const importer = createImporter(store, how === 'in pieces' ? reader : () => small);
      await importer.take([{ name: 'week.json', text }]);
      const state = importer.state();
      if (state.kind !== 'done' || state.files[0]?.kind !== 'in')
        throw new Error(JSON.stringify(state));
      const copy = state.files[0].phrases.find((p) => p.how === 'copied')!.id;
      expect(
        store
          .of(COLLECTIONS)
          .all()
          .map((s) => s.value.phrases),
      ).toEqual([['x', 'p3', 'y', copy, 'p1']]);
      // Taken out again, the collection is as it was; undone, it is as it came.
      const notices = createNotices();
      const named = () => store.of(COLLECTIONS).get('week')!.value.phrases;
      const undo = async () => {
        notices.list().at(-1)?.actions[0]?.run();
        await new Promise((resolve) => setTimeout(resolve, 20));
      };
      await takeOutAgain({ store, notices }, state.files);
      expect([named(), store.snapshot().phrases.length]).toEqual([['x', 'p3', 'y'], 1]);
      await undo();
      expect([named(), store.snapshot().phrases.length]).toEqual([['x', 'p3', 'y', copy, 'p1'], 3]);
      // Removing alone what was new would be half of it.
      expect(notices.list().flatMap((n) => n.actions.map((b) => b.label))).not.toContain(
        'Do again',
      );
      // What was changed since stays, and is told.
      const { value, revision: last } = store.of(COLLECTIONS).get('week')!;
      await store.of(COLLECTIONS).save({ ...value, phrases: ['x', 'p1'] }, last);
      await takeOutAgain({ store, notices }, state.files);
      expect(named()).toEqual(['x', 'p1']);
      expect(notices.list().map((n) => n.text)).toContain('Not all of it was taken out.');
      // The same again changes nothing.
      const { revision } = store.of(COLLECTIONS).get('week')!;
      await importer.take([
        { name: 'week.json', text: [...libraryPieces([], [week(['p1'])])].join('') },
      ]);
      expect(store.of(COLLECTIONS).get('week')!.revision).toBe(revision);
    },
  );

  it('stays as it was where the rest of the file is refused', async () => {
    let writes = 0;
    const full: Refusal = { kind: 'quota', usage: 1, quota: 1 };
    const store = createMemoryStore({ kinds, refuse: () => (++writes === 4 ? full : null) });
    await store.opened();
    await store.of(COLLECTIONS).save(week(['x']), null);
    const many = Array.from({ length: 900 }, (_, i) => order(`o${i}`, `Order ${i}`));
    const pieces = libraryPieces([phraseNamed('p1', 'One')], [week(['p1']), ...many]);
    const importer = createImporter(store, reader);
    await importer.take([{ name: 'x.json', text: [...pieces].join('') }]);
    expect(outcome(importer.state()).kind).toBe('out');
    expect(store.snapshot().phrases).toEqual([]);
    expect(store.of(COLLECTIONS).get('week')?.value.phrases).toEqual(['x']);
  });

  it('of another name is kept beside it', async () => {
    const store = createMemoryStore();
    await store.opened();
    await store.of(COLLECTIONS).save(week(['x']), null);
    const importer = createImporter(store, reader);
    const text = [...libraryPieces([], [week(['p1'], 'Week 4')])].join('');
    await importer.take([{ name: 'week.json', text }]);
    expect(
      store
        .of(COLLECTIONS)
        .all()
        .map((s) => s.value.meta.title)
        .sort(),
    ).toEqual(['Week 3', 'Week 4']);
  });
});

describe('a backup with earlier versions', () => {
  it('gives them to the phrases they are of, and says what did not come', async () => {
    const born = (created: string, id: string, title: string) => {
      const phrase = phraseNamed(id, title);
      return { ...phrase, meta: { ...phrase.meta, created } };
    };
    const day = '2026-01-01T00:00:00Z';
    const kept = (phrase: KeptVersion['phrase']): KeptVersion => {
      return { format: 'degreewise-version', version: 1, kept: day, why: 'edit', phrase };
    };
    const taken: KeptVersion[] = [];
    let full = false;
    const versions = {
      ...NO_VERSIONS,
      take: async (some: readonly AnyKept[]) => {
        if (full) return { came: [], whole: false };
        taken.push(...(some as readonly KeptVersion[]));
        return {
          came: some.map((k) => ({ id: valueOfKept(k).id, ...markOfKept(k) })),
          whole: true,
        };
      },
    };
    // One is another version of the same phrase, one another phrase that has the id by chance.
    const here = [born(day, 'p1', 'Changed here'), born('2025-05-05T00:00:00Z', 'p2', 'Other')];
    const store = createMemoryStore({ phrases: here, versions });
    await store.opened();
    const came = [
      born(day, 'p1', 'Changed there'),
      born(day, 'p2', 'Theirs'),
      born(day, 'p3', 'New'),
    ];
    const past = came.map((p) =>
      kept({ ...p, meta: { ...p.meta, title: `${p.meta.title} once` } }),
    );
    const text = [...libraryPieces(came, past)].join('');
    const importer = createImporter(store, reader);
    await importer.take([{ name: 'backup.json', text }]);
    const file = outcome(importer.state());
    if (file.kind !== 'in') throw new Error(file.reasons.join());
    expect([file.versions, file.remarks]).toEqual([3, []]);
    const theirs = file.phrases.find((p) => p.title === 'Theirs')!.id;
    expect(theirs).not.toBe('p2');
    expect(taken.map((k) => [k.phrase.id, k.phrase.meta.title])).toEqual([
      ['p1', 'Changed there once'],
      [theirs, 'Theirs once'],
      ['p3', 'New once'],
    ]);
    full = true;
    importer.dismiss();
    await importer.take([{ name: 'backup.json', text }]);
    expect(outcome(importer.state())).toMatchObject({
      versions: 0,
      remarks: ['Earlier versions did not come in: this browser could not keep them.'],
    });
  });

  it('takes them back where the rest of the file is refused', async () => {
    const there = new Set(['mine']);
    const versions = {
      ...NO_VERSIONS,
      take: async (some: readonly AnyKept[]) => {
        const came = some.map((k) => ({ id: valueOfKept(k).id, ...markOfKept(k) }));
        for (const name of came) there.add(JSON.stringify(name));
        return { came, whole: true };
      },
      withdraw: async (some: readonly VersionName[]) => {
        for (const name of some) there.delete(JSON.stringify(name));
        return true;
      },
    };
    let [writes, most] = [0, 0];
    const full: Refusal = { kind: 'quota', usage: 1, quota: 1 };
    const refuse = () => {
      most = Math.max(most, there.size);
      return ++writes === 4 ? full : null;
    };
    const here = phraseNamed('p0', 'Here');
    const store = createMemoryStore({ kinds, phrases: [here], versions, refuse });
    await store.opened();
    const past = Array.from({ length: 300 }, (_, i): KeptVersion => {
      const kept = new Date(Date.UTC(2026, 0, 1, 0, i)).toISOString();
      return { format: 'degreewise-version', version: 1, kept, why: 'edit', phrase: here };
    });
    const many = Array.from({ length: 900 }, (_, i) => order(`o${i}`, `Order ${i}`));
    const importer = createImporter(store, reader);
    // As another program may write it: something else stands after the versions.
    const text = [...libraryPieces([here], [...past, ...many])].join('');
    await importer.take([{ name: 'backup.json', text }]);
    expect(outcome(importer.state()).kind).toBe('out');
    expect(store.snapshot().phrases.map((p) => p.id)).toEqual(['p0']);
    expect([...there]).toEqual(['mine']);
    expect(most).toBeGreaterThan(1);
  });
});
