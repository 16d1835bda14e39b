import { shownTitle } from '../phrase/record';
import type { Phrase } from '../phrase/types';
import { phraseOf, sheetsOf } from './sheets';
import { type Lesson, speaksOfPhrase } from './types';

/** All the music of a lesson. */
export interface LessonMusic {
  /** In the order of the lesson, each once; what moves have made has an id of its own. */
  readonly music: readonly Phrase[];
  /** What accompanies it, by these ids. */
  readonly along: ReadonlyMap<string, Phrase>;
  /** What could not be made, by the phrase it is of, with why, in words without a full stop. */
  readonly left: readonly string[];
}

/** The music of a lesson, to be written for other programs. */
export function musicOf(lesson: Lesson): LessonMusic {
  const along = new Map<string, Phrase>();
  const all = new Map<Phrase, Phrase>();
  const ids = new Set<string>();
  const left: string[] = [];
  for (const item of lesson.items) {
    if (!speaksOfPhrase(item)) continue;
    const sheets = sheetsOf(lesson, item);
    const name = `“${shownTitle(phraseOf(lesson, item).meta)}”`;
    if (!sheets.ok) {
      left.push(...sheets.problems.map((p) => `${name}: ${p.message}`));
      continue;
    }
    for (const { heard, leftOut, comping, caption } of sheets.value) {
      if (leftOut !== null) {
        left.push(`${name} ${caption}: ${leftOut}`);
        continue;
      }
      const known = all.get(heard);
      let id = known?.id ?? heard.id;
      if (known === undefined) {
        for (let n = 2; ids.has(id); n++) id = `${heard.id}-${n}`;
        ids.add(id);
        all.set(heard, id === heard.id ? heard : { ...heard, id, parent: heard.id });
      }
      // It may have come before, in an exercise about it.
      if (comping !== null) along.set(id, comping.phrase);
    }
  }
  return { music: [...all.values()], along, left };
}
