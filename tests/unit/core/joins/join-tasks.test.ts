import { describe, expect, it } from 'vitest';
import { readJoinTasks } from '../../../support/join-tasks';

const phrase = [
  [0, 24, 60],
  [24, 24, 62],
];
const task = { id: 'a', before: phrase, candidates: [phrase] };
const path = { id: 'p', before: phrase, slots: [[phrase]] };

/** What is said of tasks that came from outside. */
const said = (data: unknown) => readJoinTasks(JSON.stringify(data));

describe('tasks for the joins', () => {
  it('are read with what may be left out', () => {
    for (const left of [{}, { earlier: null, lane: null }, { earlier: [], lane: [[0, 'C7']] }])
      expect(said({ tasks: [{ ...task, ...left }] })).toEqual({ tasks: [{ ...task, ...left }] });
    expect(said({ paths: [path, { ...path, after: null }] })).toHaveProperty('paths');
    expect(said({ tasks: null })).toEqual({ tasks: null });
  });

  it.each([
    [{ tasks: {} }, '/tasks'],
    [{ unit: 0, tasks: [task] }, '/unit'],
    [{ tasks: [{ ...task, before: undefined }] }, '/tasks/0/before'],
    [{ tasks: [{ ...task, before: [] }] }, '/tasks/0/before'],
    [{ tasks: [task, { ...task, candidates: [phrase, []] }] }, '/tasks/1/candidates/1'],
    [{ tasks: [{ ...task, before: [[0, 24, null]] }] }, '/tasks/0/before/0/2'],
    [{ tasks: [{ ...task, before: [[0, 24, 'C4']] }] }, '/tasks/0/before/0/2'],
    [{ paths: [{ ...path, slots: [] }] }, '/paths/0/slots'],
    [{ paths: [{ ...path, slots: [[]] }] }, '/paths/0/slots/0'],
    [null, 'the top'],
  ])('that cannot be ranked are refused with their place: %j', (data, place) => {
    expect(said(data)).toMatch(new RegExp(`^at ${place}: .+\\. .+\\.$`));
  });

  it('that are no JSON are refused', () => {
    for (const text of ['', 'hello']) expect(readJoinTasks(text)).toMatch(/^this is not JSON: /);
  });
});
