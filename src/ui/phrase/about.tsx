import { useState } from 'react';
import type { Draft } from '../frame/draft';
import { SaveState } from '../frame/save-state';
import { levelName } from '../shared/words';
import { AboutFields } from './about-fields';
import { HandLine } from './hand-line';

const toPhrase = (id: string) => ({ page: 'phrase', id, query: {} }) as const;

/** What is said about a phrase, to read; the fields to change it appear when they are asked for. */
export function About({ draft }: { readonly draft: Draft }) {
  const [editing, setEditing] = useState(false);
  const { meta } = draft.phrase;
  const facts = [
    ...(meta.level === undefined ? [] : [`Level ${levelName(meta.level)}`]),
    ...(meta.tags.length === 0 ? [] : [meta.tags.join(', ')]),
    ...(meta.source === undefined ? [] : [meta.source]),
  ];
  return (
    <section aria-labelledby="about" className="about">
      <h2 id="about">Notes for students</h2>
      {editing ? (
        <AboutFields draft={draft} />
      ) : (
        <>
          {meta.notes === undefined ? (
            <p className="quiet">None yet.</p>
          ) : (
            meta.notes.split('\n').map((line, i) => (
              // biome-ignore lint/suspicious/noArrayIndexKey: lines of a text have no other identity
              <p key={i}>{line}</p>
            ))
          )}
          {facts.map((f) => (
            <p key={f} className="quiet">
              {f}
            </p>
          ))}
          <HandLine phrase={draft.phrase} />
        </>
      )}
      <div className="buttons">
        <button type="button" aria-expanded={editing} onClick={() => setEditing(!editing)}>
          {editing ? 'Done' : 'Change title, style, tags, level or notes'}
        </button>
      </div>
      <SaveState draft={draft} elsewhere={toPhrase} />
    </section>
  );
}
