import { useState } from 'react';
import { useAround } from '../frame/around-library';
import type { Draft } from '../frame/draft';
import type { RouteOf } from '../frame/route';
import { SaveState } from '../frame/save-state';
import { onDemand } from '../shared/on-demand';
import { partOnDemand } from '../shared/part-on-demand';
import { dayName, levelName } from '../shared/words';
import { AboutFields } from './about-fields';
import { HandLine } from './hand-line';

const EasierWays = partOnDemand(
  onDemand('What would be easier', () => import('./easier-ways').then((m) => m.EasierWays)),
);

const toPhrase = (id: string) => ({ page: 'phrase', id, query: {} }) as const;

/** What is said about a phrase, to read; the fields to change it appear when they are asked for. */
export function About(props: { readonly draft: Draft; readonly route: RouteOf<'phrase'> }) {
  const { draft, route } = props;
  const [editing, setEditing] = useState(false);
  const [easier, setEasier] = useState(route.query.easier === 'yes');
  const { id, meta } = draft.phrase;
  const used = useAround().uses.get(id)?.at(-1);
  const facts = [
    ...(meta.tags.length === 0 ? [] : [meta.tags.join(', ')]),
    ...(meta.source === undefined ? [] : [meta.source]),
    ...(used === undefined ? [] : [`Used last on ${dayName(used)}`]),
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
          {meta.level === undefined ? null : <p className="quiet">Level {levelName(meta.level)}</p>}
          <HandLine phrase={draft.phrase} />
          {facts.map((f) => (
            <p key={f} className="quiet">
              {f}
            </p>
          ))}
          <details
            className="easier-ways"
            open={easier}
            onToggle={(e) => setEasier(e.currentTarget.open)}
          >
            <summary>
              <h3>What is hard, and easier ways</h3>
            </summary>
            {easier ? <EasierWays draft={draft} route={route} /> : null}
          </details>
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
