import { useEffect, useState } from 'react';
import { fail, type Result } from '../../core/result';
import { NotThere, whyMissing } from '../shared/on-demand';
import type { SoloAsked, SoloMade } from './solo-worker';

/** A chorus for what is asked, made in a worker; null while it is being made. */
export function useSolo(asked: SoloAsked | null): Result<SoloMade> | null {
  const [made, setMade] = useState<{
    readonly of: SoloAsked;
    readonly is: Result<SoloMade>;
  } | null>(null);
  useEffect(() => {
    if (asked === null) return;
    const worker = new Worker(new URL('./solo-worker.ts', import.meta.url), { type: 'module' });
    let wanted = true;
    const answer = (is: Result<SoloMade>) => {
      worker.terminate();
      if (wanted) setMade({ of: asked, is });
    };
    worker.onmessage = (e: MessageEvent<Result<SoloMade>>) => answer(e.data);
    worker.onerror = async (e) => {
      e.preventDefault();
      // What is thrown inside has a message; a worker that did not come has none.
      const message =
        e.message !== '' && e.message !== undefined
          ? `the chorus could not be made: ${e.message}`
          : new NotThere('What lays phrases over forms', await whyMissing(), e).message;
      answer(fail({ message }));
    };
    worker.postMessage(asked);
    return () => {
      wanted = false;
      worker.terminate();
    };
  }, [asked]);
  return made !== null && made.of === asked ? made.is : null;
}
