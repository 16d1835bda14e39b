import type { AsPlayed } from '../core/heard/played';
import type { AnyKept } from '../core/library/versions';
import { kindOfKept } from '../io/kinds/file-kinds';
import { count } from './words';

/** `3 earlier versions of phrases, 1 earlier version of lessons`. */
export function earlierWords(versions: readonly AnyKept[]): string {
  const nouns = versions.map((v) => kindOfKept(v).noun);
  return [...new Set(nouns)]
    .map((noun) => {
      const many = nouns.filter((n) => n === noun).length;
      return `${count(many, 'earlier version')} of ${noun}s`;
    })
    .join(', ');
}

/** `how 2 phrases were played`. */
export function playedWords({ length }: readonly AsPlayed[]): string {
  return `how ${count(length, 'phrase')} ${length === 1 ? 'was' : 'were'} played`;
}
