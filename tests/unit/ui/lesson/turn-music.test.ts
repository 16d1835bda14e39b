import { expect, it } from 'vitest';
import { nextStep } from '../../../../src/core/plan/due';
import { newPlan } from '../../../../src/core/plan/edit';
import { planItems } from '../../../../src/core/plan/items';
import { turnMusic } from '../../../../src/ui/lesson/plan/turn-music';
import { lessonOfEveryKind } from '../../../support/lesson';
import { readSamples } from '../../../support/samples';

it('says where something is missing, since a gap looks like a rest, and of nothing else', () => {
  const samples = readSamples().map((s) => s.phrase);
  const lesson = lessonOfEveryKind([samples[0]!, samples[2]!]);
  const birth = { id: 'p', now: '2026-11-27T08:00:00Z', day: '2026-11-27', seed: 7 };
  const plan = newPlan(lesson, birth);
  const told = planItems(lesson).flatMap((item) => {
    const at = nextStep(plan, { item, turns: [], due: birth.day, gap: 0 });
    const { missing } = turnMusic(lesson, item, at);
    return missing === null ? [] : [[item.item.kind, missing]];
  });
  expect(told).toEqual([['gaps', 'Missing: bar 1, beat 2 and; bar 2, beat 1; bar 2, beat 3.']]);
});
