import { Ajv2020 } from 'ajv/dist/2020.js';
import { describe, expect, it } from 'vitest';
import { run } from '../../../../src/cli/run';
import { changedPlan, newPlan, newTurn } from '../../../../src/core/plan/edit';
import { formatProblem, type Result } from '../../../../src/core/result';
import { decodePlan, decodeTurn } from '../../../../src/io/json/decode-plan';
import { publishedSchemas } from '../../../../src/io/json/json-schema';
import { PLANS, TURNS } from '../../../../src/io/kinds/kinds';
import { decodeLibrary } from '../../../../src/io/library/decode';
import { libraryPieces } from '../../../../src/io/library/write';
import { memoryIo } from '../../../support/memory-io';

const now = '2026-11-27T08:00:00Z';
const day = '2026-11-27';
const lesson = { id: 'l', meta: { title: 'Thirds', created: now, modified: now } };
const plan = changedPlan(newPlan(lesson, { id: 'p', now, day, seed: 7 }), { student: 'Wren' });
const turn = (id: string, item = 'phrase a') =>
  newTurn(
    plan,
    { item, title: 'A', step: { speed: 90, goal: { kind: 'key', text: 'Bb' } }, went: 'sits' },
    { id, now, day },
  );

const said = (read: Result<unknown>) =>
  read.ok ? 'it opens' : read.problems.map(formatProblem).join('\n');

describe('the door for plans and turns', () => {
  it('gives back what went out, as an independent validator of the schemas agrees', () => {
    const schemas = publishedSchemas();
    for (const [value, read, name] of [
      [plan, decodePlan, 'plan'],
      [turn('t1'), decodeTurn, 'turn'],
    ] as const) {
      expect(read(JSON.stringify(value))).toEqual({ ok: true, value });
      const oracle = new Ajv2020({ strict: true }).compile(schemas[`${name}.schema.json`]!);
      expect(oracle(value), JSON.stringify(oracle.errors)).toBe(true);
      expect(oracle({ ...value, more: 1 })).toBe(false);
      expect(said(read({ ...value, more: 1 }))).toContain('more');
      expect(said(read({ ...value, version: 2 }))).toContain('newer release');
    }
  });

  it('says what is wrong, and where', () => {
    expect(said(decodePlan({ ...plan, begun: '2026-02-30' }))).toContain('/begun');
    expect(said(decodePlan({ ...plan, begun: 'never' }))).toContain('like 2026-01-31');
    expect(said(decodePlan({ ...plan, tempo: { from: 90, by: 10, to: 80 } }))).toContain(
      '/tempo/from',
    );
    expect(said(decodePlan({ ...plan, keys: { kind: 'list', text: 'H' } }))).toContain('/keys');
    expect(said(decodePlan({ ...plan, minutes: 0 }))).toContain('/minutes');
    expect(said(decodeTurn({ ...turn('t'), day: '2026-13-01' }))).toContain('/day');
    expect(said(decodeTurn({ ...turn('t'), went: 'well' }))).toContain('/went');
    expect(said(decodeTurn('[]'))).not.toBe('it opens');
  });

  it('comes back from a library file; a plan follows its lesson, its turns stay with the log', () => {
    const text = [...libraryPieces([], [plan, turn('t1')])].join('');
    const read = decodeLibrary(text);
    expect(read.ok && read.value.others).toEqual([plan, turn('t1')]);
    const to = (kind: string, id: string) => (kind === 'lesson' && id === 'l' ? 'new' : id);
    expect(PLANS.withReferences?.(plan, to)).toEqual({ ...plan, lesson: 'new' });
    expect(TURNS.withReferences).toBeUndefined();
  });
});

describe('two libraries with turns of one log', () => {
  it('are merged into one with all of them, in whatever order, and nothing twice', async () => {
    const file = (turns: readonly unknown[], p = plan) =>
      [...libraryPieces([], [p, ...turns])].join('');
    const changed = changedPlan(plan, { minutes: 30 });
    const files = {
      'a.json': file([turn('t1'), turn('t2')]),
      'b.json': file([turn('t2'), turn('t3')], changed),
    };
    const io = memoryIo({ files });
    const merged = async (args: readonly string[], out: string) => {
      expect(await run(['merge', ...args, '-o', out], io), io.stderr()).toBe(0);
      const read = decodeLibrary(new TextDecoder().decode(io.disk.get(out)));
      if (!read.ok) throw new Error(said(read));
      return read.value.others ?? [];
    };
    const ab = await merged(['a.json', 'b.json'], 'ab.json');
    expect(await merged(['b.json', 'a.json'], 'ba.json')).toEqual(ab);
    expect(await merged(['ab.json', 'a.json', 'b.json'], 'again.json')).toEqual(ab);
    expect(ab.filter((o) => o.format === 'degreewise-turn').map((o) => o.id)).toEqual([
      't1',
      't2',
      't3',
    ]);
    // Both versions of the plan are kept, and have the same log.
    const plans = ab.flatMap((o) => {
      const read = decodePlan(o);
      return read.ok ? [read.value] : [];
    });
    expect(plans.map((p) => [p.minutes, p.log])).toEqual([
      [15, 'p'],
      [30, 'p'],
    ]);
  });
});
