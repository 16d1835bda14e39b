import { foldText } from '../../library/fold';
import type { Phrase } from '../../phrase/types';
import { bareWords, matchOf } from '../match';
import type { Query } from '../query/types';
import { wordingsOf } from '../query/wordings';
import { textsOf } from './texts';

/**
 * How well the words of a query fit a phrase, the best 0 (`MATCH`), straight from the phrase.
 */
export function defineMatch(query: Query): (phrase: Phrase) => number {
  const wordings = wordingsOf(query);
  return (phrase) => {
    const wordsOf = (...fields: readonly Parameters<typeof textsOf>[1][]) =>
      bareWords(fields.flatMap((f) => textsOf(phrase, f).map(foldText)));
    return matchOf(wordings, {
      title: wordsOf('title'),
      tags: wordsOf('tag', 'style'),
      notes: wordsOf('remarks', 'source'),
    });
  };
}
