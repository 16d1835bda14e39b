import { describe, expect, it } from 'vitest';
import { run } from '../../../src/cli/run';
import { changedPlan, newPlan, newTurn } from '../../../src/core/plan/edit';
import { planItems } from '../../../src/core/plan/items';
import { libraryPieces } from '../../../src/io/library/write';
import { lessonOfEveryKind } from '../../support/lesson';
import { memoryIo } from '../../support/memory-io';
import { readSamples } from '../../support/samples';

const samples = readSamples().map((s) => s.phrase);
const lesson = lessonOfEveryKind([samples[0]!, samples[2]!]);
const day = '2026-11-27';
const now = `${day}T08:00:00Z`;
const plan = changedPlan(newPlan(lesson, { id: 'p', now, day, seed: 3 }), { student: 'Wren' });
const first = planItems(lesson)[0]!;
const turn = newTurn(
  plan,
  { item: first.key, title: 'First', step: { speed: 100, goal: null }, went: 'sits' },
  { id: 't', now, day },
);
const file = (others: readonly unknown[]) => [...libraryPieces([], others)].join('');
const files = { 'a.json': file([lesson, plan]), 'log.json': file([plan, turn]) };

describe('plan', () => {
  it('tells what is due, at which tempo and in which key, also from a plan and a log in several files', async () => {
    const io = memoryIo({ files });
    const args = ['plan', 'a.json', 'log.json', '--json', '--day'];
    expect(await run([...args, '2026-11-28'], io), io.stderr()).toBe(0);
    const { plans } = JSON.parse(io.stdout());
    // The plan stands in both files, and is one.
    expect(plans).toHaveLength(1);
    const [told] = plans;
    expect(told).toMatchObject({ student: 'Wren', lesson: lesson.meta.title, day: '2026-11-28' });
    const again = told.turns.find((t: { item: string }) => t.item === first.key);
    expect(again).toMatchObject({ speed: 90, last: { day, went: 'sits' }, done: null });
    expect(again.goal).not.toBeNull();
    expect(told.later.map((l: { due: string }) => l.due)).toEqual(['2026-11-29', '2026-11-29']);
    const keys: string[] = told.turns.map((t: { item: string }) => t.item);
    expect(keys.filter((k, i) => k === keys[i - 1])).toEqual([]);
  });

  it('says it in words with the caution, what was done as done', async () => {
    const io = memoryIo({ files });
    const args = ['plan', 'a.json', 'log.json', '--student', 'Wren', '--day', day];
    expect(await run(args, io), io.stderr()).toBe(0);
    expect(io.stdout()).toContain('Thirds on the quay, Wren, 2026-11-27: ');
    expect(io.stdout()).toMatch(/First Ferry Out +100 % +done: sits/u);
    expect(io.stdout()).toMatch(/60 % +new/u);
    expect(io.stdout()).toContain('stop when it hurts');
  });

  it('takes what stands in several files as it was changed last, whatever their order', async () => {
    const later = changedPlan(plan, { title: 'Thirds, later' });
    const newer = { ...later, meta: { ...later.meta, modified: `${day}T08:00:00.500Z` } };
    const io = memoryIo({ files: { ...files, 'new.json': file([newer]) } });
    for (const order of [
      ['a.json', 'new.json'],
      ['new.json', 'a.json'],
    ]) {
      expect(await run(['plan', ...order, '--day', day], io), io.stderr()).toBe(0);
    }
    expect(io.stdout().match(/Thirds, later, Wren/gu)).toHaveLength(2);
    expect(io.stdout()).not.toContain('Thirds on the quay, Wren');
  });

  it('says what is missing', async () => {
    const io = memoryIo({ files });
    expect(await run(['plan', 'log.json', '--day', day], io)).toBe(0);
    expect(io.stdout()).toContain('the lesson of this plan is not in the files');
    expect(await run(['plan', 'a.json', '--student', 'Finch'], io)).toBe(2);
    expect(io.stderr()).toContain('no practice plan of Finch');
    expect(io.stderr()).toContain('name one of these: Wren.');
    expect(await run(['plan', 'a.json', '--day', '2026-02-30'], io)).toBe(2);
    expect(io.stderr()).toContain('no day of the calendar');
  });
});
