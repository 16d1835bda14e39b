import { useMemo } from 'react';
import { analyse } from '../../core/understand/analyse';
import { capital } from '../shared/words';
import { whereInWords } from './where';
import type { Writer } from './writer';

/** What was just done, and where the writer is: on the page, and read out as it changes. */
export function WhereLine({ writer, id }: { readonly writer: Writer; readonly id: string }) {
  const { state, told } = writer;
  const analysis = useMemo(() => analyse(state.phrase), [state.phrase]);
  const where = useMemo(() => whereInWords(state, analysis), [state, analysis]);
  return (
    <p role="status" aria-atomic="true" className="where-line">
      {told.text === '' ? null : (
        <span className={told.refused ? 'told refused' : 'told'}>{sentence(told.text)} </span>
      )}
      <span id={id}>{where}.</span>
    </p>
  );
}

function sentence(text: string): string {
  return `${capital(text)}${/[.…]$/u.test(text) ? '' : '.'}`;
}
