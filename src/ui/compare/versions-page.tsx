import { useEffect, useId, useMemo, useState } from 'react';
import type { WhyKept } from '../../core/library/versions';
import type { Phrase } from '../../core/phrase/types';
import { PHRASES } from '../../io/kinds/kinds';
import type { Version } from '../../storage/versions';
import { useApp, usePageTitle } from '../frame/app-context';
import type { Draft } from '../frame/draft';
import { PhraseOrReason } from '../frame/phrase-or-reason';
import { addressOf, type RouteOf } from '../frame/route';
import { navigate } from '../frame/use-route';
import { titleOf } from '../shared/facts';
import { momentName, momentNames } from '../shared/moment';
import { ComparedPair } from './compared-pair';
import { changeInShort } from './difference-words';
import { compare, compareWords } from './differences';
import { restoreVersion } from './restore-version';
import '../shared/pages.css';
import './versions.css';

/** So many are shown before more are asked for. */
const ROWS = 30;

/** `#/phrase/ID/versions`: how a phrase stood before, compared with now, and put back. */
export function VersionsPage({ route }: { readonly route: RouteOf<'versions'> }) {
  return (
    <PhraseOrReason id={route.id}>
      {(draft) => <Versions key={route.id} draft={draft} route={route} />}
    </PhraseOrReason>
  );
}

function Versions(props: { readonly draft: Draft; readonly route: RouteOf<'versions'> }) {
  const { draft, route } = props;
  const { phrase } = draft;
  const title = titleOf(phrase);
  usePageTitle(`Earlier versions of ${title}`);
  const versions = useVersions(draft);
  const [rows, setRows] = useState(ROWS);
  const names = momentNames(versions?.map((v) => v.made) ?? []);
  return (
    <article className="page compare-page">
      <p className="way-back">
        <a href={addressOf({ page: 'phrase', id: phrase.id, query: {} })}>{title}</a>
      </p>
      <header>
        <h1>Earlier versions</h1>
        <p>
          How “{title}” stood before you changed it: one for each ten minutes in which you did. All
          of the last day are kept, the last of each day for a month, then one a week. What you did
          in between can be undone on the page of the phrase.
        </p>
      </header>
      {versions === null ? (
        <p role="status">Looking for earlier versions …</p>
      ) : versions.length === 0 ? (
        <p role="status">
          There is none yet. The first is kept when you change the phrase in this browser.
        </p>
      ) : (
        <>
          <p role="status" className="unseen">
            {versions.length} kept
          </p>
          <ol className="version-list" reversed>
            <li>
              <div className="version-row">
                <strong>Now</strong>
                <span className="quiet">since {momentName(Date.parse(phrase.meta.modified))}</span>
              </div>
            </li>
            {versions.slice(0, rows).map((v, i) => (
              <Row
                key={nameOf(v)}
                version={v}
                when={names[i]!}
                next={versions[i - 1]?.value ?? phrase}
                draft={draft}
                route={route}
              />
            ))}
          </ol>
          {versions.length > rows && (
            <button type="button" className="version-more" onClick={() => setRows(rows + ROWS)}>
              Show more: {rows} of {versions.length}
            </button>
          )}
        </>
      )}
    </article>
  );
}

/** Kept at one moment there are never two of one phrase that were made at one moment. */
const nameOf = ({ kept, made }: Version<unknown>): string => `${kept}-${made}`;

/** Read again when something else takes the place of the phrase; null until they are read. */
function useVersions({ phrase, stored }: Draft): readonly Version<Phrase>[] | null {
  const { store } = useApp();
  const [found, setFound] = useState<readonly Version<Phrase>[] | null>(null);
  // biome-ignore lint/correctness/useExhaustiveDependencies: read again with each revision.
  useEffect(() => {
    let shown = true;
    void (store.versions?.list(PHRASES, phrase.id) ?? Promise.resolve([])).then((list) => {
      if (shown) setFound(list);
    });
    return () => {
      shown = false;
    };
  }, [store, phrase.id, stored.revision]);
  return found;
}

const WHY: Readonly<Record<WhyKept, string>> = {
  edit: '',
  restore: 'before an earlier version was put back; ',
  merge: 'before another version was chosen; ',
};

interface RowProps {
  readonly version: Version<Phrase>;
  /** What it is called in this list. */
  readonly when: string;
  /** What took its place. */
  readonly next: Phrase;
  readonly draft: Draft;
  readonly route: RouteOf<'versions'>;
}

function Row({ version, when, next, draft, route }: RowProps) {
  const app = useApp();
  const { value: old, why } = version;
  const { phrase } = draft;
  const open = route.query.of === nameOf(version);
  const panel = useId();
  const change = useMemo(
    () => changeInShort(compare(old, next), compareWords(old, next)),
    [old, next],
  );
  const words = useMemo(() => (open ? compareWords(old, phrase) : []), [open, old, phrase]);
  return (
    <li>
      <div className="version-row">
        <span className="version-when">{when}</span>
        <span className="version-what quiet">
          {WHY[why]}changed then: {change}
        </span>
        <span className="version-tools">
          <button
            type="button"
            aria-expanded={open}
            aria-controls={open ? panel : undefined}
            onClick={() =>
              navigate({ ...route, query: open ? {} : { of: nameOf(version) } }, 'replace')
            }
          >
            {open ? 'Close' : 'Compare with now'} <span className="unseen">{when}</span>
          </button>
          <button type="button" onClick={() => void restoreVersion(app, phrase, version)}>
            Put back <span className="unseen">the version of {when}</span>
          </button>
        </span>
      </div>
      {open && (
        <div id={panel}>
          <ComparedPair
            upper={{ phrase: old, name: 'as it was', where: 'as it was' }}
            lower={{ phrase, name: 'as it is now', where: 'as it is now' }}
            query={route.query}
            onLook={(query) =>
              navigate({ ...route, query: { ...query, of: nameOf(version) } }, 'replace')
            }
            words={words}
          />
        </div>
      )}
    </li>
  );
}
