import { layForm } from '../form/lay';
import { readGoal } from '../move/goal';
import { sameBars } from '../phrase/time';
import type { Phrase } from '../phrase/types';
import { goalsOfList } from '../practice/goals';
import type { Problem } from '../result';
import { canonicalSymbol } from '../theory/chord';
import { withGaps } from './gaps';
import { GAPS, type Lesson, type LessonItem, speaksOfPhrase } from './types';

/**
 * What would make a structurally right lesson meaningless, each with its JSON pointer; empty for a valid
 * one. Its phrases are checked where they are read.
 */
export function checkLesson(lesson: Lesson): readonly Problem[] {
  const phrases = new Map<string, Phrase>();
  const problems: Problem[] = [];
  lesson.phrases.forEach((p, i) => {
    if (phrases.has(p.id)) problems.push(twice('phrase', `/phrases/${i}/id`));
    phrases.set(p.id, p);
  });
  const ids = new Set<string>();
  lesson.items.forEach((item, i) => {
    if (ids.has(item.id)) problems.push(twice('item', `/items/${i}/id`));
    ids.add(item.id);
    problems.push(...checkItem(item, phrases, `/items/${i}`));
  });
  return problems;
}

function twice(what: string, pointer: string): Problem {
  return {
    message: `another ${what} of the lesson has the same id`,
    fix: 'Give one of them another id, or remove it.',
    pointer,
  };
}

function checkItem(
  item: LessonItem,
  phrases: ReadonlyMap<string, Phrase>,
  at: string,
): readonly Problem[] {
  const placed = (problems: readonly Problem[], field: string) =>
    problems.map(({ bar: _, beat: __, said: _____, line: ___, column: ____, ...p }) => ({
      ...p,
      pointer: `${at}/${field}`,
    }));
  if (speaksOfPhrase(item)) {
    const phrase = phrases.get(item.phrase);
    if (phrase === undefined) {
      return [
        {
          message: 'the phrase that the item speaks of is not in the lesson',
          fix: "Put it into 'phrases', or remove the item.",
          pointer: `${at}/phrase`,
        },
      ];
    }
    const own = placed(...checkOfPhrase(item, phrase));
    return item.kind === 'solo' ? [...own, ...placed(compingOf(item, phrases), 'comping')] : own;
  }
  if (item.kind === 'form') {
    const laid = layForm(item.form, item.tonic);
    return laid.ok ? [] : placed(laid.problems, 'form/sections');
  }
  if (item.kind === 'shapes') {
    return item.chords.flatMap((symbol, i) => {
      const read = canonicalSymbol(symbol);
      if (!read.ok) return placed(read.problems, `chords/${i}`);
      if (read.value === symbol) return [];
      const message = `the chord '${symbol}' is not in canonical spelling`;
      return placed([{ message, fix: `Write ${read.value}.` }], `chords/${i}`);
    });
  }
  return [];
}

/** What is wrong with the accompaniment of a solo. */
function compingOf(
  { phrase, comping }: Extract<LessonItem, { readonly kind: 'solo' }>,
  phrases: ReadonlyMap<string, Phrase>,
): readonly Problem[] {
  if (comping === undefined) return [];
  const part = phrases.get(comping.phrase);
  if (part === undefined) {
    return [
      {
        message: 'the comping of the solo is not in the lesson',
        fix: "Put it into 'phrases', or take it from the solo.",
      },
    ];
  }
  if (sameBars(part, phrases.get(phrase)!)) return [];
  const message = 'the comping of the solo has other bars than the solo';
  return [{ message, fix: 'Give both the same bars, or take the comping from the solo.' }];
}

/** What is wrong, and with which field. */
function checkOfPhrase(
  item: Extract<LessonItem, { readonly phrase: string }>,
  phrase: Phrase,
): readonly [readonly Problem[], string] {
  switch (item.kind) {
    case 'pair': {
      const to = readGoal(item.move, phrase.key);
      return [to.ok ? [] : to.problems, 'move/text'];
    }
    case 'rounds': {
      const { cycle } = item;
      const goals = cycle.kind === 'list' ? goalsOfList(cycle.text, phrase.key) : null;
      return [goals === null || goals.ok ? [] : goals.problems, 'cycle'];
    }
    case 'solo': {
      const wrong = item.parts.some((p) => p.lastBar < p.firstBar);
      const problem = {
        message: 'a part of the solo ends before it begins',
        fix: 'Put the bars in order.',
      };
      return [wrong ? [problem] : [], 'parts'];
    }
    case 'gaps': {
      const left = withGaps(phrase, item.every);
      const problem = {
        message: 'the phrase is too short for a gap',
        fix: `Use a smaller number than ${item.every}, ${GAPS.least} at least, or a longer phrase.`,
      };
      return [left === null ? [problem] : [], 'every'];
    }
    default:
      return [[], ''];
  }
}
