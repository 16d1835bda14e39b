import { useMemo } from 'react';
import { chosenNotes } from '../../../core/edit/select';
import { analysisOf } from '../../score/analysis';
import { capital } from '../../shared/words';
import { type Warnings, warningWords } from './warnings';
import { whereInWords } from './where';
import type { Writer } from './writer';

interface WhereLineProps {
  readonly writer: Writer;
  readonly warnings: Warnings;
  readonly id: string;
}

/** What was just done, and where the writer is: on the page, and read out as it changes. */
export function WhereLine({ writer, warnings, id }: WhereLineProps) {
  const { state, told } = writer;
  const where = useMemo(() => whereInWords(state, analysisOf(state.phrase)), [state]);
  const chosen = useMemo(() => chosenNotes(state).map((c) => c.note.id), [state]);
  const begun = state.phrase.voices.some((v) => v.events.length > 0);
  const warned = warningWords(warnings, chosen);
  return (
    <p role="status" aria-atomic="true" className="where-line">
      {told.text === '' || saysItself(told.text, where) ? null : (
        <span className={told.refused ? 'told refused' : 'told'}>{sentence(told.text)} </span>
      )}
      <span id={id}>{where}.</span>
      {begun ? null : (
        <span className="quiet">
          {' '}
          Type a fret and go on with →, or tap the neck; Backspace takes back. ‘Set it up’ is one
          line for key, metre, tempo, form and title.
        </span>
      )}
      {warned.length === 0 ? null : (
        <span className="warned"> {warned.map(sentence).join(' ')}</span>
      )}
    </p>
  );
}

/** Whether a fret that was written is where the cursor is, whose words tell it with its degree. */
function saysItself(told: string, where: string): boolean {
  const [, fret, string] = /^fret (\d+) on string (\d+)$/u.exec(told) ?? [];
  return fret !== undefined && where.includes(`string ${string}, fret ${fret}:`);
}

function sentence(text: string): string {
  return `${capital(text)}${/[.…]$/u.test(text) ? '' : '.'}`;
}
