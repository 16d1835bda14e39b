import { useState } from 'react';
import { fileStem } from '../../publish/file-names';
import type { StoreProblem } from '../../storage/types';
import { useApp } from '../frame/app-context';
import { saveFile } from '../shared/save-file';
import { refusalInWords } from '../shared/save-words';
import { UNREAD_WORDS } from '../shared/unread-words';
import { count, problemText } from '../shared/words';

/** Records that are kept but cannot be shown: nothing is thrown away without a word. */
export function DamagedList({ problems }: { readonly problems: readonly StoreProblem[] }) {
  if (problems.length === 0) return null;
  return (
    <section className="damaged" aria-labelledby="damaged-heading">
      <h2 id="damaged-heading">{count(problems.length, 'record')} that cannot be read</h2>
      <p>
        {problems.length === 1
          ? 'It stays as it is until you discard it.'
          : 'They stay as they are until you discard them.'}{' '}
        What is stored can be saved to a file.
      </p>
      <ul>
        {problems.map((p) => (
          <li key={p.key}>
            <Damaged problem={p} />
          </li>
        ))}
      </ul>
    </section>
  );
}

function Damaged({ problem }: { readonly problem: StoreProblem }) {
  const { store, notices } = useApp();
  const [asking, setAsking] = useState(false);
  const { key, title, raw, kind, problems } = problem;
  const name = title ?? `The record ${key}`;
  const discard = async () => {
    const result = await store.discard([key]);
    if (result.kind === 'done') notices.done(`${name} is discarded.`);
    else notices.trouble(`${name} was not discarded.`, refusalInWords(result));
  };
  return (
    <>
      <h3>
        {name} {UNREAD_WORDS[kind]}
      </h3>
      <ul>
        {problems.slice(0, 3).map((p) => (
          <li key={problemText(p)}>{problemText(p)}</li>
        ))}
      </ul>
      <p className="buttons">
        {raw !== null && (
          <button
            type="button"
            onClick={() =>
              saveFile({ name: `${fileStem(name)}.json`, type: 'application/json', content: raw })
            }
          >
            Save what is stored
          </button>
        )}
        {asking ? (
          <>
            <button type="button" className="primary" onClick={() => void discard()}>
              Discard it for good
            </button>
            <button type="button" onClick={() => setAsking(false)}>
              Leave it
            </button>
          </>
        ) : (
          <button type="button" onClick={() => setAsking(true)}>
            Discard
          </button>
        )}
      </p>
    </>
  );
}
