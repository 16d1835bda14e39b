import { describe, expect, it } from 'vitest';
import { fail, ok, type Result } from '../../../../src/core/result';
import { type DecodedFile, decodeFile } from '../../../../src/io/file/decode-file';
import { createMemoryStore, type Refusal } from '../../../../src/storage';
import {
  createImporter,
  type ImportState,
  newThings,
  type Reader,
} from '../../../../src/ui/frame/importer';
import { canBeReadAgain, summaryOf } from '../../../../src/ui/library/import/summary';
import { build } from '../../../support/build';

const phrase = (id: string) => build('q 3/5 3/7', { id, title: `Title ${id}`, key: 'G' });
const file = (name: string, ...ids: readonly string[]) => ({
  name,
  result: ok<DecodedFile>({
    format: 'json',
    phrases: ids.map(phrase),
    library: ids.length > 1,
    remarks: [],
  }),
});
const bad = {
  name: 'bad.json',
  result: fail({ message: 'it is broken', bar: 2, fix: 'Mend it.' }),
};

type Fake = { readonly name: string; readonly result: Result<DecodedFile> };
const reader: Reader<Fake> = { read: async (f) => f.result, stop: () => {} };

async function ready(refuse: () => Refusal | null = () => null) {
  const store = createMemoryStore({ refuse });
  await store.opened();
  return store;
}

const outcome = (s: ImportState) => {
  if (s.kind !== 'done') throw new Error(`the import is ${s.kind}`);
  return s.files;
};

describe('bringing phrases in', () => {
  it('writes what could be read and says of the rest where and why', async () => {
    const store = await ready();
    const importer = createImporter(store, () => reader);
    const seen: string[] = [];
    importer.subscribe(() => {
      const s = importer.state();
      if (s.kind === 'reading') seen.push(`${s.name} ${s.done}/${s.total}`);
    });
    await importer.take([file('a.json', 'a', 'b'), bad, file('c.json', 'c')]);
    expect(seen).toEqual(['a.json 0/3', 'bad.json 1/3', 'c.json 2/3']);
    const files = outcome(importer.state());
    expect(files[0]).toMatchObject({
      kind: 'in',
      phrases: [
        { id: 'a', title: 'Title a', how: 'added' },
        { id: 'b', how: 'added' },
      ],
    });
    expect(files[1]).toEqual({
      kind: 'out',
      name: 'bad.json',
      reasons: ['Bar 2: it is broken. Mend it.'],
    });
    expect(files[2]).toMatchObject({ kind: 'in', phrases: [{ id: 'c' }] });
    expect(newThings(files).map((t) => t.id)).toEqual(['a', 'b', 'c']);
    expect(summaryOf(files)).toBe('3 phrases came into the library; 1 file did not.');
    expect(store.snapshot().phrases.length).toBe(3);
    importer.dismiss();
    expect(importer.state()).toEqual({ kind: 'idle' });
  });

  it('what is there already is neither new nor written over', async () => {
    const store = await ready();
    await store.add([phrase('a')]);
    const importer = createImporter(store, () => reader);
    const other = { ...phrase('a'), meta: { ...phrase('a').meta, title: 'Another' } };
    const decoded: DecodedFile = { format: 'json', phrases: [other], library: false, remarks: [] };
    await importer.take([file('a.json', 'a'), { name: 'other.json', result: ok(decoded) }]);
    const files = outcome(importer.state());
    const came = files.flatMap((f) => (f.kind === 'in' ? f.phrases : []));
    expect(came.map((p) => p.how)).toEqual(['same', 'copied']);
    expect(came[1]!.id).not.toBe('a');
    expect(newThings(files).map((t) => t.id)).toEqual([came[1]!.id]);
    const kept = store.snapshot().phrases.find((p) => p.id === 'a')!;
    expect(kept.peek()?.meta.title).toBe('Title a');
  });

  it('a refused write changes nothing, for no file', async () => {
    const store = await ready(() => ({ kind: 'quota', usage: 10, quota: 10 }));
    const importer = createImporter(store, () => reader);
    await importer.take([file('a.json', 'a'), bad]);
    const files = outcome(importer.state());
    expect(files.map((f) => f.kind)).toEqual(['out', 'out']);
    expect(files[0]!.kind === 'out' && files[0]!.reasons[0]).toMatch(/no room/u);
    expect(store.snapshot().phrases).toEqual([]);
    expect(summaryOf(files)).toBe('None of the 2 files was brought in; the library is as it was.');
  });

  it('can be stopped before anything is written', async () => {
    const store = await ready();
    let stopped = 0;
    let release: (r: Result<DecodedFile>) => void = () => {};
    const slow: Reader<Fake> = {
      read: () =>
        new Promise((resolve) => {
          release = resolve;
        }),
      stop: () => {
        stopped++;
        release(fail({ message: 'reading was stopped' }));
      },
    };
    const importer = createImporter(store, () => slow);
    const done = importer.take([file('a.json', 'a')]);
    expect(importer.state().kind).toBe('reading');
    importer.stop();
    await done;
    expect(importer.state()).toEqual({ kind: 'idle' });
    expect(stopped).toBeGreaterThan(0);
    expect(store.snapshot().phrases).toEqual([]);
  });

  it('nothing chosen is no import, and one goes on at a time', async () => {
    const store = await ready();
    const importer = createImporter(store, () => reader);
    await importer.take([]);
    expect(importer.state()).toEqual({ kind: 'idle' });
    const first = importer.take([file('a.json', 'a')]);
    await importer.take([file('b.json', 'b')]);
    await first;
    expect(store.snapshot().phrases.map((p) => p.id)).toEqual(['a']);
  });
});

it('reads a score of the report again with another part and octave', async () => {
  const store = await ready();
  const asked: unknown[] = [];
  const choosing: Reader<Fake> = {
    read: async (f, choice) => {
      asked.push([f.name, choice]);
      return f.name === 'b.xml' && choice?.octave === undefined ? bad.result : f.result;
    },
    stop: () => {},
  };
  const importer = createImporter(store, () => choosing);
  await importer.take([file('a.json', 'a'), file('b.xml', 'b')]);
  expect(outcome(importer.state()).map((f) => f.kind)).toEqual(['in', 'out']);
  await importer.again(1, { part: 2, octave: -1 });
  expect(asked.at(-1)).toEqual(['b.xml', { part: 2, octave: -1 }]);
  expect(outcome(importer.state())).toMatchObject([{ kind: 'in', name: 'b.xml' }]);
});

it('offers another part of a score that was refused, and none of noise or a picture', async () => {
  const texts = {
    'noise.mid': '\u0001\u0089x',
    'picture.musicxml': '\u0089PNG\r\n',
    'drawing.xml': '<svg xmlns="http://www.w3.org/2000/svg"/>',
    'empty.musicxml': '<score-partwise/>',
    'cut.mid': 'MThd',
    'list.json': '7',
  };
  const importer = createImporter(await ready(), () => reader);
  await importer.take(
    Object.entries(texts).map(([name, text]) => {
      const bytes = Uint8Array.from(text, (c) => c.charCodeAt(0));
      return { name, result: decodeFile(name, bytes, { newId: () => 'x', now: '' }) };
    }),
  );
  const files = outcome(importer.state());
  expect(files.map((f) => f.kind)).toEqual(files.map(() => 'out'));
  expect(files.filter(canBeReadAgain).map((f) => f.name)).toEqual(['empty.musicxml', 'cut.mid']);
});
