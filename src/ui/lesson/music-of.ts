import { sheetsOf } from '../../core/lesson/sheets';
import type { Lesson } from '../../core/lesson/types';
import type { Phrase } from '../../core/phrase/types';

/**
 * All the music of a lesson, in its order, each once; what moves have made gets an id of its own. `along` has what
 * accompanies it, by these ids.
 */
export function musicOf(lesson: Lesson): {
  readonly music: readonly Phrase[];
  readonly along: ReadonlyMap<string, Phrase>;
} {
  const along = new Map<string, Phrase>();
  const all = new Map<Phrase, Phrase>();
  const ids = new Set<string>();
  for (const item of lesson.items) {
    const sheets = sheetsOf(lesson, item);
    if (!sheets.ok) continue;
    for (const { heard, leftOut, comping } of sheets.value) {
      if (leftOut !== null) continue;
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
  return { music: [...all.values()], along };
}
