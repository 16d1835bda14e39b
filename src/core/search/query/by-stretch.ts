import { both, either, negated } from './join';
import type { Query } from './types';

/**
 * The question with every change that the end of a phrase is to fit (`fits:I>vi`) as one that occurs somewhere in it (`I>vi`),
 * for where nothing is found: fewer phrases end with a change than have it.
 * @returns null where no change is asked for in that way.
 */
export function byStretch(query: Query): Query | null {
  switch (query.kind) {
    case 'fits':
      return query.chords.length < 2 ? null : { kind: 'change', chords: query.chords };
    case 'not': {
      const part = byStretch(query.part);
      return part && negated(part);
    }
    case 'both':
    case 'either': {
      const parts = query.parts.map(byStretch);
      if (parts.every((p) => p === null)) return null;
      const all = query.parts.map((p, i) => parts[i] ?? p);
      return query.kind === 'both' ? both(all) : either(all);
    }
    default:
      return null;
  }
}
