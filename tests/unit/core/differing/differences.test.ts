import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { differences } from '../../../../src/core/differing/differences';
import { type AnyRecord, IN_TIME } from '../../../../src/core/differing/words';
import type { OwnForm } from '../../../../src/core/form/types';
import { changeMeta, removeItems, shiftItem } from '../../../../src/core/lesson/edit';
import type { Lesson, LessonItem } from '../../../../src/core/lesson/types';
import { newCollection } from '../../../../src/core/library/collection';
import type { Phrase } from '../../../../src/core/phrase/types';
import { newPlan } from '../../../../src/core/plan/edit';
import type { Plan } from '../../../../src/core/plan/types';
import { lessonOfEveryKind, OWN_FORM } from '../../../support/lesson';
import { phraseNamed } from '../../../support/phrase-named';

const now = '2026-11-27T08:00:00Z';
const LESSON = lessonOfEveryKind([phraseNamed('a', 'Stair'), phraseNamed('b', 'Quay')]);
const LIST = newCollection(['a', 'b', 'c'], { id: 'week', now, title: 'Week' });
const PLAN = newPlan(LESSON, { id: 'p', now, day: '2026-11-27', seed: 7 });
const EACH: readonly AnyRecord[] = [phraseNamed('a', 'Stair'), LESSON, OWN_FORM, LIST, PLAN];

/** The lesson with one of its items changed. */
function withItem(place: number, change: Partial<LessonItem>): Lesson {
  const items = LESSON.items.map((i, n) =>
    n === place - 1 ? ({ ...i, ...change } as LessonItem) : i,
  );
  return { ...LESSON, items };
}

describe('what differs between two of a kind', () => {
  it('is nothing where only the id and the time of change differ', () => {
    for (const one of EACH) {
      const meta = { ...one.meta, modified: '2030-01-01T00:00:00Z' };
      expect(differences(one, { ...structuredClone(one), id: 'other', meta })).toEqual([]);
    }
  });

  it('is just the title, where that is changed', () => {
    fc.assert(
      fc.property(fc.constantFrom(...EACH), fc.stringMatching(/^[a-z]{1,20}$/u), (one, title) => {
        const said = differences(one, { ...one, meta: { ...one.meta, title } });
        expect(said).toEqual([`title ('${one.meta.title}' / '${title}')`]);
      }),
      { numRuns: 40 },
    );
  });

  const items: readonly (readonly [number, Partial<LessonItem>, string])[] = [
    [1, { phrase: 'b' }, "phrase of item 1 is another ('Stair' / 'Quay')"],
    [2, { heading: 'Slowly' }, "heading of item 2 (none / 'Slowly')"],
    [3, { text: 'Hear it.' }, 'text of item 3'],
    [4, { move: { kind: 'key', text: 'C' } }, 'move of item 4'],
    [5, { shows: 'chords' }, 'what the neck shows of item 5 (phrase / chords)'],
    [7, { near: 7 }, 'fret of item 7 (5 / 7)'],
    [8, { tonic: { letter: 'G', alter: 0 } }, 'key of item 8'],
    [9, { parts: [] }, 'where the parts come from of item 9'],
    [10, { todo: 'Sing.' }, "what to do of item 10 ('Aloud.' / 'Sing.')"],
    [11, { every: 4 }, 'how many notes are left out of item 11 (3 / 4)'],
    [12, { from: 'key' }, 'where degrees count from of item 12 (chord / key)'],
  ];
  it.each(items)('of a lesson is just what was changed in item %i', (place, change, said) => {
    expect(differences(LESSON, withItem(place, change))).toEqual([said]);
    expect(differences(withItem(place, change), LESSON)).toHaveLength(1);
  });

  it('of a lesson is an item taken out, moved or of another kind', () => {
    for (const [i, { id }] of LESSON.items.entries()) {
      const less = removeItems(LESSON, id);
      const said = differences(LESSON, less, { sides: IN_TIME });
      expect(said).toHaveLength(1);
      expect(said[0]).toMatch(new RegExp(`^item ${i + 1}, .*: taken out$`, 'u'));
      expect(differences(less, LESSON)[0]).toMatch(/^item \d+, .*: only in the other$/u);
      if (i === 0) continue;
      expect(differences(LESSON, shiftItem(LESSON, id, -1))).toEqual(['order of the items']);
    }
    const other = withItem(2, {});
    const text: LessonItem = { kind: 'text', id: other.items[1]!.id, text: 'Rest.' };
    const items = LESSON.items.map((i, n) => (n === 1 ? text : i));
    const replaced: Lesson = { ...LESSON, items };
    expect(differences(LESSON, replaced)).toEqual(['kind of item 2 (phrase / text)']);
    expect(differences(LESSON, changeMeta(LESSON, { intro: 'Short.' }))).toEqual([
      "what it is for ('Two phrases and what they are made of.' / 'Short.')",
    ]);
  });

  it('of a lesson is what differs in a phrase of it', () => {
    const [first, ...more] = LESSON.phrases as readonly [Phrase, ...Phrase[]];
    const slower: Phrase = { ...first, tempo: { bpm: 61, unit: 'quarter' } };
    const changed: Lesson = { ...LESSON, phrases: [slower, ...more] };
    expect(differences(LESSON, changed)).toEqual([
      "in the phrase 'Stair': tempo (quarter = 100 / quarter = 61)",
    ]);
    const alone: Lesson = { ...LESSON, phrases: [...LESSON.phrases, phraseNamed('c', 'Pier')] };
    expect(differences(LESSON, alone)).toEqual(["phrase 'Pier': only in the other"]);
  });

  const forms: readonly (readonly [Partial<OwnForm>, string])[] = [
    [{ mode: 'minor' }, 'mode (blues / minor)'],
    [{ meter: { beats: 3, beatType: 4 } }, 'metre (4/4 / 3/4)'],
    [{ feel: { kind: 'straight' } }, 'feel (swing 2:1 on eighths / straight)'],
    [{ tempo: { bpm: 60, unit: 'half' } }, 'tempo (quarter = 96 / half = 60)'],
    [
      { sections: [...OWN_FORM.sections.slice(0, 2), { name: 'Ending', bars: 'I7|I7' }] as never },
      'bar 9 (I7 V7 / I7)',
    ],
    [
      { sections: [...OWN_FORM.sections.slice(0, 2), { name: 'Ending', bars: 'I7 V7' }] as never },
      '10 bars / 9 bars',
    ],
  ];
  it.each(forms)('of a form is just what was changed: %o', (change, said) => {
    expect(differences(OWN_FORM, { ...OWN_FORM, ...change } as OwnForm)).toEqual([said]);
  });

  it('of a form where the same bars are divided otherwise', () => {
    const [intro, a, end] = OWN_FORM.sections as unknown as [{ bars: string }, never, never];
    const spaced = { ...OWN_FORM, sections: [{ ...intro, bars: ` ${intro.bars} ` }, a, end] };
    expect(differences(OWN_FORM, spaced as never)).toEqual(['how its bars are written']);
  });

  it('of a collection is which phrases, in which order', () => {
    const titleOf = (id: string) => (id === 'b' ? 'Quay' : null);
    const phrases = (...ids: string[]) => ({ ...LIST, phrases: ids });
    expect(differences(LIST, phrases('a', 'c'), { titleOf })).toEqual([
      "1 phrase only in the first ('Quay')",
    ]);
    expect(differences(LIST, phrases('a', 'b', 'c', 'd', 'e'), { sides: IN_TIME })).toEqual([
      '2 phrases new',
    ]);
    expect(differences(LIST, phrases('b', 'a', 'c'))).toEqual(['order of the phrases']);
    expect(differences(LIST, { ...LIST, purpose: 'student' } as never)).toEqual([
      'what it is for (any / student)',
    ]);
  });

  it('of a plan is what was changed of it', () => {
    const plans: readonly (readonly [Partial<Plan>, string])[] = [
      [{ student: 'Ida' }, "student (none / 'Ida')"],
      [{ minutes: PLAN.minutes + 5 }, `minutes a day (${PLAN.minutes} / ${PLAN.minutes + 5})`],
      [{ keys: { kind: 'semitones' } }, 'keys to go through'],
      [{ log: 'other' }, 'the log'],
    ];
    for (const [change, said] of plans)
      expect(differences(PLAN, { ...PLAN, ...change })).toEqual([said]);
  });
});
