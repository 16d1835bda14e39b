import { useDeferredValue, useId, useMemo, useState } from 'react';
import { paste } from '../../../core/edit/commands/putting';
import { cannot, done, type Outcome } from '../../../core/edit/outcome';
import { runCommand } from '../../../core/edit/run';
import { type EditState, startEditing } from '../../../core/edit/state';
import { barAt } from '../../../core/phrase/time';
import type { Phrase } from '../../../core/phrase/types';
import { formatProblem, type Problem } from '../../../core/result';
import { type Pasted, readPasted } from '../../../io/quick/pasted';
import { QUICK_SIGNS } from '../../../io/quick/signs';
import { writeQuick } from '../../../io/quick/write';
import { useApp } from '../../frame/app-context';
import { ScoreView, SMALL } from '../../score/score-view';
import type { PartProps } from '../part-props';
import './parts.css';

/** More mistakes at once help nobody. */
const MOST_PROBLEMS = 5;

const KINDS = {
  json: 'a phrase in our own file format',
  'text tab': 'plain tablature',
  quick: 'quick text',
} as const;

/**
 * The phrase in one line of text, and any text that can be read as a phrase. It is engraved before it
 * is taken over, and nothing in the phrase changes until then.
 */
export function QuickText({ writer, onDone }: Pick<PartProps, 'writer' | 'onDone'>) {
  const app = useApp();
  const id = useId();
  const { own, typed, setTyped, text, found, problems } = useTyped(writer.state);
  const ready = found !== null && text === (typed ?? own);
  const whyNone = whyNothing(text, problems.length);
  /** The score is above, and what came of the text is to be seen there. */
  const toScore = () => {
    onDone();
    document.activeElement?.scrollIntoView({ block: 'start' });
  };
  const takeOver = (make: (s: EditState, found: Phrase) => Outcome) => {
    const outcome = writer.take((s) => (ready ? make(s, found.phrase) : cannot(whyNone)), {
      command: 'take.text',
      label: 'Put in from text',
    });
    if (!ready || outcome.kind !== 'done') return;
    if (found.ignored.length > 0) {
      app.notices.trouble('Not everything in the text was understood.', found.ignored);
    }
    setTyped(null);
    toScore();
  };

  return (
    <div className="quick-text">
      <label htmlFor={`${id}-text`}>The phrase as text</label>
      <textarea
        id={`${id}-text`}
        rows={6}
        autoComplete="off"
        autoCapitalize="off"
        spellCheck={false}
        value={typed ?? own}
        aria-invalid={problems.length > 0}
        aria-describedby={`${id}-hint ${id}-found`}
        onChange={(e) => setTyped(e.target.value)}
        onKeyDown={(e) => {
          if (e.key === 'Escape') toScore();
        }}
      />
      <p id={`${id}-hint`} className="quiet">
        Change it, or paste another phrase: quick text, or plain tablature of six lines.
      </p>
      <ReadSoFar id={`${id}-found`} found={found} mistakes={problems.length} />
      {problems.length === 0 ? null : <Mistakes text={text} problems={problems} />}
      {found === null ? null : (
        <div className="quick-score">
          <ScoreView phrase={found.phrase} label="Notes of the text" size={SMALL} />
        </div>
      )}
      <p className="buttons">
        <button
          type="button"
          className="primary"
          aria-disabled={!ready}
          onClick={() => takeOver(inPlace)}
        >
          Put it in the place of this phrase
        </button>
        <button
          type="button"
          aria-disabled={!ready}
          onClick={() => takeOver((s, found) => runCommand(s, paste, found))}
        >
          Put it in at the cursor
        </button>
        {typed === null ? null : (
          <button type="button" onClick={() => setTyped(null)}>
            Leave the text as it was
          </button>
        )}
      </p>
      <Signs />
    </div>
  );
}

/** Why nothing can be taken over, in words. */
function whyNothing(text: string, mistakes: number): string {
  if (mistakes > 0) return 'there is a mistake in the text';
  return text.trim() === '' ? 'there is no text' : 'the text says what is there already';
}

/** The text of the phrase, what is typed in its place, and what that is read as. */
function useTyped({ phrase, selection }: EditState) {
  const app = useApp();
  const [typed, setTyped] = useState<string | null>(null);
  const own = useMemo(() => writeQuick(phrase).text, [phrase]);
  const text = useDeferredValue(typed ?? own);
  const { meter } = barAt(phrase, selection.cursor.onset).bar;
  const { key, tempo, feel, instrument } = phrase;
  // An id that holds while somebody types: it is given up when the music is taken over.
  const [origin] = useState(() => ({ id: app.newId(), now: app.now() }));
  const read = useMemo(
    () =>
      text.trim() === '' || text === own
        ? null
        : readPasted(text, origin, { key, tempo, feel, instrument, meter }),
    [text, own, origin, key, tempo, feel, instrument, meter],
  );
  const found = read?.ok === true ? read.value : null;
  const problems = read?.ok === false ? read.problems : [];
  return { own, typed, setTyped, text, found, problems };
}

/** The music of the text with the name, the labels and the family of the phrase that is open. */
function inPlace(s: EditState, found: Phrase) {
  const { id, parent, meta } = s.phrase;
  const title = found.meta.title === '' ? meta.title : found.meta.title;
  const next = startEditing({ ...found, id, parent, meta: { ...meta, title } }, s.pen);
  return done(next, 'the text stands in the place of the phrase');
}

interface ReadSoFarProps {
  readonly id: string;
  readonly found: Pasted | null;
  readonly mistakes: number;
}

/** What was read, and what of it was guessed or left out, as it is told while somebody types. */
function ReadSoFar({ id, found, mistakes }: ReadSoFarProps) {
  const guessed = found === null ? 0 : guessedIn(found.phrase);
  return (
    <div id={id} role="status">
      {mistakes === 0 ? null : (
        <p className="refused">
          {mistakes === 1 ? 'A mistake is in the text.' : `${mistakes} mistakes are in the text.`}
        </p>
      )}
      {found === null ? null : (
        <>
          <p>Read as {KINDS[found.kind]}.</p>
          {guessed === 0 ? null : (
            <p>
              {guessed === 1 ? 'One length was' : `${guessed} lengths were`} guessed from the
              spacing. They are marked in the score until you set them.
            </p>
          )}
          {found.ignored.length === 0 ? null : (
            <>
              <p>Not taken over:</p>
              <ul>
                {found.ignored.map((what) => (
                  <li key={what}>{what}</li>
                ))}
              </ul>
            </>
          )}
        </>
      )}
    </div>
  );
}

function guessedIn(p: Phrase): number {
  return p.voices.flatMap((v) => v.events).filter((e) => e.guessed === true).length;
}

interface MistakesProps {
  readonly text: string;
  readonly problems: readonly Problem[];
}

/** Each mistake under its place in the text. */
function Mistakes({ text, problems }: MistakesProps) {
  const more = problems.length - MOST_PROBLEMS;
  return (
    <ul className="quick-mistakes">
      {problems.slice(0, MOST_PROBLEMS).map((p) => {
        const told = formatProblem(p);
        const shown = placeOf(text, p);
        return (
          <li key={told}>
            {shown === null ? null : <pre aria-hidden="true">{shown}</pre>}
            <p>{told}</p>
          </li>
        );
      })}
      {more > 0 ? <li>and {more} more</li> : null}
    </ul>
  );
}

/** Characters shown before and after the place of a mistake. */
const AROUND = 16;

/** The place of a mistake with a caret under the character; null where it has none. */
function placeOf(text: string, p: Problem): string | null {
  if (p.column === undefined) return null;
  const line = text.split('\n')[(p.line ?? 1) - 1] ?? '';
  const at = p.column - 1;
  const from = Math.max(0, at - AROUND);
  const before = `${from > 0 ? '…' : ''}${line.slice(from, at)}`;
  const after = `${line.slice(at, at + AROUND)}${line.length > at + AROUND ? '…' : ''}`;
  return `${before}${after}\n${' '.repeat(before.length)}^`;
}

/** What can be written in quick text, folded away. */
function Signs() {
  return (
    <details className="quick-signs">
      <summary>Signs of quick text</summary>
      <table>
        <thead>
          <tr>
            <th scope="col">Sign</th>
            <th scope="col">Meaning</th>
            <th scope="col">For example</th>
          </tr>
        </thead>
        <tbody>
          {QUICK_SIGNS.map(({ sign, meaning, example }) => (
            <tr key={sign}>
              <th scope="row">
                <code>{sign}</code>
              </th>
              <td>{meaning.replaceAll('`', '')}</td>
              <td>
                <code>{example}</code>
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </details>
  );
}
