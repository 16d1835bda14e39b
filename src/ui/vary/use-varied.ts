import { useEffect, useState } from 'react';
import type { Phrase } from '../../core/phrase/types';
import { fail, type Result } from '../../core/result';
import { NotThere, whyMissing } from '../shared/on-demand';
import { type VaryForm, type VaryMade, writeVaryForm } from './vary-form';
import type { VaryAsked } from './vary-worker';

/**
 * What a form makes of a phrase, in a worker: a long phrase takes a while, and the page stays awake.
 * Null while it is being made; a choice that came in between ends the one before.
 */
export function useVaried(phrase: Phrase, form: VaryForm): Result<VaryMade> | null {
  const [made, setMade] = useState<{
    readonly phrase: Phrase;
    readonly key: string;
    readonly is: Result<VaryMade>;
  } | null>(null);
  const key = JSON.stringify(writeVaryForm(form));
  // biome-ignore lint/correctness/useExhaustiveDependencies: the key says all that is in the form
  useEffect(() => {
    if (form.how === null && form.done.length === 0) return;
    const worker = new Worker(new URL('./vary-worker.ts', import.meta.url), { type: 'module' });
    let wanted = true;
    const answer = (is: Result<VaryMade>) => {
      worker.terminate();
      if (wanted) setMade({ phrase, key, is });
    };
    worker.onmessage = (e: MessageEvent<Result<VaryMade>>) => answer(e.data);
    worker.onerror = async (e) => {
      e.preventDefault();
      // What is thrown inside has a message; a worker that did not come has none.
      const message =
        e.message !== '' && e.message !== undefined
          ? `the phrase could not be varied: ${e.message}`
          : new NotThere('What varies phrases', await whyMissing(), e).message;
      answer(fail({ message }));
    };
    const asked: VaryAsked = { phrase, form };
    worker.postMessage(asked);
    return () => {
      wanted = false;
      worker.terminate();
    };
  }, [phrase, key]);
  return made !== null && made.phrase === phrase && made.key === key ? made.is : null;
}
