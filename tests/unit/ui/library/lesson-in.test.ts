import { describe, expect, it } from 'vitest';
import { layForm } from '../../../../src/core/form/lay';
import { STANDARD_FORMS, standardForm } from '../../../../src/core/form/standard';
import { formOfOwn } from '../../../../src/core/form/types';
import { addItem, freeItemId, lessonOf } from '../../../../src/core/lesson/edit';
import type { Lesson } from '../../../../src/core/lesson/types';
import type { Phrase } from '../../../../src/core/phrase/types';
import { newPlan } from '../../../../src/core/plan/edit';
import { proposeSolos } from '../../../../src/core/solo/propose';
import { decodeFile } from '../../../../src/io/file/decode-file';
import { writeCarried } from '../../../../src/io/folder/format';
import { FORMS, LESSONS, PLANS } from '../../../../src/io/kinds/kinds';
import { libraryPieces } from '../../../../src/io/library/write';
import { lessonPage } from '../../../../src/publish/lesson/write';
import { createMemoryStore, type MemoryStoreOptions } from '../../../../src/storage';
import { createImporter, type Reader } from '../../../../src/ui/frame/importer';
import { lookAtParts } from '../../../../src/ui/frame/made-of/part-looks';
import { readBench } from '../../../../src/ui/solo/bench';
import { lessonOfEveryKind, OWN_FORM } from '../../../support/lesson';
import { phraseNamed } from '../../../support/phrase-named';

/* A form of somebody's own that a lesson shows is a form where the lesson comes in. */

const NOW = '2026-11-27T09:00:00Z';
const forms = [OWN_FORM, OWN_FORM].map(formOfOwn).concat(standardForm('blues')!);
const lesson = forms.reduce<Lesson>(
  (l, form) =>
    addItem(l, { kind: 'form', id: freeItemId(l), form, tonic: { letter: 'A', alter: 0 } }),
  lessonOf([phraseNamed('p1', 'One')], { id: 'lesson', now: NOW, title: 'Ten bars' }),
);

async function desk(options?: MemoryStoreOptions) {
  const store = createMemoryStore(options);
  await store.opened();
  const take = async (content: string, name = 'lesson.html') => {
    const reader: Reader<{ readonly name: string }> = {
      read: async () =>
        decodeFile(name, new TextEncoder().encode(content), { newId: () => 'new', now: NOW }),
      stop: () => {},
    };
    const importer = createImporter(store, () => reader);
    await importer.take([{ name }]);
    const s = importer.state();
    if (s.kind !== 'done') throw new Error(`the import is ${s.kind}`);
    const [file] = s.files;
    return file!.kind === 'in'
      ? file!.others.map((o) => `${o.kind.name} ${o.title}: ${o.how}`)
      : file!.reasons;
  };
  const lessons = () =>
    store
      .of(LESSONS)
      .all()
      .map((s) => s.value);
  const phrases = () => store.snapshot().phrases.map((s) => s.peek()!);
  const here = () =>
    store
      .of(FORMS)
      .all()
      .map((s) => s.value);
  return { store, take, here, lessons, phrases };
}

const CAME = ['lesson Ten bars: added', `form ${OWN_FORM.meta.title}: added`];
const SAME = CAME.map((c) => c.replace('added', 'same'));

describe('a form that a lesson shows', async () => {
  const page = await lessonPage(lesson);
  const data = JSON.stringify(lesson);

  it.each([
    ['page', 'lesson.html', page],
    ['data', 'lesson.json', data],
  ])('comes in with it, once, under its id: %s', async (_what, name, content) => {
    const { take, here } = await desk();
    expect(await take(content, name)).toEqual(CAME);
    expect(here().map(formOfOwn)).toEqual([formOfOwn(OWN_FORM)]);
    // The address of a solo over it names it by its id.
    expect(
      readBench({ form: OWN_FORM.id }, [...STANDARD_FORMS, ...here().map(formOfOwn)]).form,
    ).toEqual(formOfOwn(OWN_FORM));
    expect(await take(content, name)).toEqual(SAME);
    // The next lesson with the same form.
    const next = {
      ...lesson,
      id: 'next',
      meta: { ...lesson.meta, created: '2026-11-30T09:00:00Z' },
    };
    expect(await take(JSON.stringify(next), name)).toEqual([CAME[0], SAME[1]]);
    expect(here()).toHaveLength(1);
  });

  it('leaves alone the one that it came from', async () => {
    const { store, take, here } = await desk();
    const mine = { ...OWN_FORM, parent: 'other', meta: { ...OWN_FORM.meta, modified: NOW } };
    await store.things.add([{ kind: FORMS as never, value: mine }]);
    expect(await take(page)).toEqual([CAME[0], SAME[1]]);
    expect(here()).toEqual([mine]);
  });

  it('leaves alone one that was made from another after the lesson was begun', async () => {
    const { store, take, here } = await desk();
    const meta = {
      ...OWN_FORM.meta,
      created: '2026-12-01T09:00:00Z',
      modified: '2026-12-01T09:00:00Z',
    };
    const mine = { ...OWN_FORM, parent: 'other', meta };
    await store.things.add([{ kind: FORMS as never, value: mine }]);
    expect(await take(page)).toEqual([CAME[0], SAME[1]]);
    expect(here()).toEqual([mine]);
  });

  it('comes in beside one that was changed since, and only once', async () => {
    const { store, take, here } = await desk();
    const title = 'Mine now';
    const mine = { ...OWN_FORM, meta: { ...OWN_FORM.meta, title } };
    await store.things.add([{ kind: FORMS as never, value: mine }]);
    expect(await take(page)).toEqual([CAME[0], CAME[1]!.replace('added', 'copied')]);
    expect(await take(page)).toEqual(SAME);
    expect(here().map((f) => [f.meta.title, f.parent])).toEqual([
      [title, null],
      [OWN_FORM.meta.title, OWN_FORM.id],
    ]);
  });

  it('and a lesson that was changed here comes in beside it, and only once, as data or as a page', async () => {
    const { take, lessons, store } = await desk();
    const changed = { ...lesson, meta: { ...lesson.meta, title: 'As A has it' } };
    await store.of(LESSONS).save(lesson, null);
    const first = await take(JSON.stringify(changed), 'a.json');
    expect(first[0]).toBe('lesson As A has it: copied');
    const told = lessons().map((l) => [l.meta.title, l.parent]);
    expect(told.sort()).toEqual([
      ['As A has it', lesson.id],
      ['Ten bars', null],
    ]);
    for (const [content, name] of [
      [JSON.stringify(changed), 'a.json'],
      [await lessonPage(changed), 'a.html'],
    ] as const) {
      expect((await take(content, name))[0]).toBe('lesson As A has it: same');
      expect(lessons()).toHaveLength(2);
    }
    // Of one changed again there is another version.
    const later = { ...lesson, meta: { ...lesson.meta, title: 'As A has it later' } };
    expect((await take(JSON.stringify(later), 'a.json'))[0]).toMatch(/: copied$/u);
    expect(lessons()).toHaveLength(3);
  });

  it('and a plan of a lesson that comes in beside another goes with that one, once', async () => {
    const { take, lessons, store } = await desk();
    const plan = newPlan(lesson, { id: 'plan', now: NOW, day: '2026-11-27', seed: 7 });
    const changed = { ...lesson, meta: { ...lesson.meta, title: 'As A has it' } };
    await store.of(LESSONS).save(lesson, null);
    await store.of(PLANS).save(plan, null);
    const file = [...libraryPieces([], [changed, plan])].join('');
    const plans = () =>
      store
        .of(PLANS)
        .all()
        .map(({ value }) => value.lesson);
    await take(file, 'a.json');
    const copy = lessons().find((l) => l.parent === lesson.id);
    expect(plans().sort()).toEqual([copy?.id, lesson.id].sort());
    await take(file, 'a.json');
    expect([lessons().length, plans().length]).toEqual([2, 2]);
  });

  it('does not come in where the lesson does not', async () => {
    const full = { kind: 'quota', usage: 1, quota: 1 } as const;
    const { store, take, here } = await desk({ refuse: () => full });
    await take(page);
    expect([here(), store.of(LESSONS).all(), store.snapshot().phrases]).toEqual([[], [], []]);
    const broken = page.replace('"tonic":{"letter":"A"', '"tonic":{"letter":"H"');
    const other = await desk();
    expect((await other.take(broken)).join()).toContain('tonic');
    expect([other.here(), other.store.snapshot().phrases]).toEqual([[], []]);
  });

  it('is not brought back by a lesson of a folder that carries the library', () => {
    const carried = writeCarried({ kind: LESSONS as never, value: lesson }, []);
    const bytes = new TextEncoder().encode(carried);
    const read = decodeFile('x.json', bytes, { newId: () => 'new', now: NOW });
    expect(read.ok && read.value.others?.map((o) => o.kind.name)).toEqual(['lesson']);
  });
});

describe('a lesson with a solo in it', async () => {
  const laid = layForm(standardForm('blues')!, { letter: 'A', alter: 0 });
  if (!laid.ok) throw new Error('blues');
  const sources = [phraseNamed('p1', 'One'), phraseNamed('p2', 'Two')];
  const solos = proposeSolos({ form: laid.value, phrases: sources, options: { most: 12 } }, () => ({
    id: 'solo',
    tempo: laid.value.form.tempo,
    meta: { title: 'Solo', tags: [], created: NOW, modified: NOW },
  }));
  const solo = solos.ok ? solos.value[0]!.phrase : null;
  if (solo === null) throw new Error('solo');
  const everything = lessonOfEveryKind([sources[0]!, solo]);
  const whole = [...libraryPieces([solo, ...sources], [everything])];

  it.each([
    ['page', 'lesson.html', await lessonPage(everything)],
    ['data', 'lesson.json', JSON.stringify(everything)],
    ['library', 'library.json', whole.join('')],
  ])('comes into an empty library equal: %s', async (what, name, content) => {
    const { take, lessons, phrases } = await desk();
    expect((await take(content, name)).join()).toContain(`lesson ${everything.meta.title}: added`);
    expect(lessons()).toEqual([everything]);
    const byId = new Map(phrases().map((p) => [p.id, p]));
    // As data a lesson is one thing, which holds what it shows; a page gives its phrases as well.
    const all: Readonly<Record<string, readonly Phrase[]>> = {
      page: everything.phrases,
      data: [],
      library: [solo, ...sources],
    };
    const came = all[what]!;
    expect([...byId.keys()].sort()).toEqual(came.map((p) => p.id).sort());
    for (const p of came) expect(byId.get(p.id)).toEqual(p);
    if (what === 'data') return;
    // Its parts still know where they are from.
    const states = lookAtParts(byId.get('solo')!, (id) => byId.get(id) ?? null);
    expect(states.length).toBeGreaterThan(2);
    const known = states.filter((l) => byId.has(l.part.source));
    expect(known.map((l) => l.state.kind)).toEqual(known.map(() => 'as laid'));
    if (what === 'library') expect(known.length).toBe(states.length);
  });
});
