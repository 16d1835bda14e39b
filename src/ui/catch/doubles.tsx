import { useEffect, useState } from 'react';
import type { Phrase } from '../../core/phrase/types';
import type { LikeOne } from '../../core/search/finder';
import { chordOf } from '../../core/theory/chord';
import { romanSign } from '../../core/theory/roman';
import type { CaughtPhrase } from '../../io/heard/phrases';
import { useLoaded, usePhrase } from '../frame/app-context';
import { addressOf } from '../frame/route';
import { useSearchClient } from '../frame/search/use-search';
import { titleOf } from '../shared/facts';
import type { KeptBefore } from './keep-caught';

/** Melodies that differ by more are not called alike: about a note in five. */
const ALIKE = 0.2;

/**
 * For each phrase that was caught what the library has that is most like it, in any key.
 * @param kept What was kept of them: no phrase is like itself.
 */
export function useDoubles(
  caught: readonly CaughtPhrase[],
  kept: KeptBefore,
): ReadonlyMap<string, LikeOne> {
  const { client, state } = useSearchClient(true);
  const [found, setFound] = useState<ReadonlyMap<string, LikeOne>>(new Map());
  const ready = client !== null && state.reading === null;
  useEffect(() => {
    if (!ready) return;
    let shown = true;
    void Promise.all(
      caught.map(async ({ phrase }) => {
        const { id } = phrase;
        const likest = await client.likeThis(phrase, 2);
        return [id, likest.filter((one) => one.id !== kept.get(id)?.phrase.id)] as const;
      }),
    ).then((all) => {
      if (!shown) return;
      setFound(
        new Map(
          all.flatMap(([id, [best]]) =>
            best !== undefined && best.unlikeness <= ALIKE ? [[id, best] as const] : [],
          ),
        ),
      );
    });
    return () => {
      shown = false;
    };
  }, [caught, client, ready, kept]);
  return found;
}

/** A phrase of the library that is like what was caught: its name, how like, and what each is played over. */
export function DoubleOf(props: { readonly double: LikeOne; readonly caught: Phrase }) {
  const { double, caught } = props;
  const entry = usePhrase(double.id);
  const phrase = useLoaded(entry);
  if (phrase === null) return null;
  return (
    <p className="quiet">
      {howLike(double.unlikeness)}{' '}
      <a href={addressOf({ page: 'phrase', id: phrase.id, query: {} })}>{titleOf(phrase)}</a>
      {over(overOf(phrase), overOf(caught))}.
    </p>
  );
}

/** Up to this a note here and there differs. */
const NEARLY = 0.1;

/** Of the samples, moved to the IV chord and caught, all that were called alike were the right ones. */
function howLike(unlikeness: number): string {
  if (unlikeness === 0) return 'The same melody as';
  return unlikeness <= NEARLY ? 'Nearly the same melody as' : 'Like';
}

/** What both stand over, as far as it is known. */
function over(there: string | null, here: string | null): string {
  if (here === null) return there === null ? '' : `, which is over ${there}`;
  return there === null || there === here ? `, over ${here}` : `, over ${here} instead of ${there}`;
}

/** The chord under its beginning, as a numeral of its key. */
function overOf({ chords, key }: Phrase): string | null {
  const symbol = chords[0]?.symbol ?? null;
  return symbol === null ? null : romanSign(chordOf(symbol), key);
}
