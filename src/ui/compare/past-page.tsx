import { useEffect, useId, useState, useSyncExternalStore } from 'react';
import { differences } from '../../core/differing/differences';
import { type AnyRecord, differingFields, IN_TIME } from '../../core/differing/words';
import type { OwnForm } from '../../core/form/types';
import type { Lesson } from '../../core/lesson/types';
import type { Collection } from '../../core/library/collection';
import { shownTitle } from '../../core/phrase/record';
import type { Plan } from '../../core/plan/types';
import type { Kind } from '../../io/kinds/kind';
import { COLLECTIONS, FORMS, LESSONS, PLANS } from '../../io/kinds/kinds';
import type { LibraryStore } from '../../storage/types';
import type { Version } from '../../storage/versions';
import { useApp, useLibrary, usePageTitle } from '../frame/app-context';
import { NotHere } from '../frame/not-here';
import { OpeningPage } from '../frame/opening-library';
import { addressOf, type PastOf, type Route, type RouteOf } from '../frame/route';
import { navigate } from '../frame/use-route';
import { momentName, momentNames } from '../shared/moment';
import { collectionHeld, formHeld, type Held, lessonHeld, planHeld } from './held-words';
import { putBackRecord } from './put-back-record';
import '../shared/pages.css';
import './versions.css';

/** What of a kind stands on the page. */
interface Past {
  readonly kind: Kind<AnyRecord>;
  readonly noun: string;
  /** Where one comes from. */
  place(id: string): Route;
  held(value: AnyRecord, titleOf: (phrase: string) => string | null): readonly Held[];
}

const past = <T extends AnyRecord>(
  kind: Kind<T>,
  noun: string,
  place: Past['place'],
  held: (value: T, titleOf: (phrase: string) => string | null) => readonly Held[],
): Past =>
  // What is of a kind is given to what is made for that kind.
  ({ kind, noun, place, held }) as unknown as Past;

const PAST: Readonly<Record<PastOf, Past>> = {
  lesson: past<Lesson>(LESSONS, 'lesson', (id) => ({ page: 'lesson', id, query: {} }), lessonHeld),
  form: past<OwnForm>(FORMS, 'song form', (form) => ({ page: 'solo', query: { form } }), formHeld),
  collection: past<Collection>(
    COLLECTIONS,
    'collection',
    (id) => ({ page: 'collection', id, query: {} }),
    collectionHeld,
  ),
  plan: past<Plan>(PLANS, 'practice plan', (id) => ({ page: 'plan', id, query: {} }), planHeld),
};

/** So many are shown before more are asked for. */
const ROWS = 30;

/** `#/lesson/ID/versions` and the like: how something stood before, in words, and put back. */
export function PastPage({ route }: { readonly route: RouteOf<'past'> }) {
  const { store } = useApp();
  const { state } = useLibrary();
  const of = PAST[route.of];
  const stored = useSyncExternalStore(
    (changed) => store.subscribe(changed),
    () => store.of(of.kind).get(route.id),
  );
  if (stored !== null) {
    const { value, revision } = stored;
    return <Versions key={route.id} {...{ of, value, revision, route }} />;
  }
  if (state === 'opening') return <OpeningPage />;
  return <NotHere kind={of.kind} id={route.id} />;
}

interface Shown {
  readonly of: Past;
  /** As it stands. */
  readonly value: AnyRecord;
  readonly route: RouteOf<'past'>;
}

function Versions(props: Shown & { readonly revision: number }) {
  const { of, value, route, revision } = props;
  const title = shownTitle(value.meta);
  usePageTitle(`Earlier versions of ${title}`);
  const versions = useVersions(of.kind, route.id, revision);
  const [rows, setRows] = useState(ROWS);
  const names = momentNames(versions?.map((v) => v.made) ?? []);
  return (
    <article className="page compare-page">
      <p className="way-back">
        <a href={addressOf(of.place(route.id))}>{title}</a>
      </p>
      <header>
        <h1>Earlier versions</h1>
        <p>
          How the {of.noun} “{title}” stood before you changed it: one for each ten minutes in which
          you did. All of the last day are kept, the last of each day for a month, then one a week.
        </p>
      </header>
      {versions === null ? (
        <p role="status">Looking for earlier versions …</p>
      ) : versions.length === 0 ? (
        <p role="status">
          There is none yet. The first is kept when you change the {of.noun} in this browser.
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
                <span className="quiet">since {momentName(Date.parse(value.meta.modified))}</span>
              </div>
            </li>
            {versions.slice(0, rows).map((v, i) => (
              <Row
                key={nameOf(v)}
                version={v}
                when={names[i]!}
                next={versions[i - 1]?.value ?? value}
                {...{ of, value, route }}
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

const nameOf = ({ kept, made }: Version<unknown>): string => `${kept}-${made}`;

/** Read again with each revision; null until they are read. */
function useVersions(
  kind: Kind<AnyRecord>,
  id: string,
  revision: number,
): readonly Version<AnyRecord>[] | null {
  const { store } = useApp();
  const [found, setFound] = useState<readonly Version<AnyRecord>[] | null>(null);
  // biome-ignore lint/correctness/useExhaustiveDependencies: read again with each revision.
  useEffect(() => {
    let shown = true;
    void (store.versions?.list(kind, id) ?? Promise.resolve([])).then((list) => {
      if (shown) setFound(list);
    });
    return () => {
      shown = false;
    };
  }, [store, kind, id, revision]);
  return found;
}

const WHY = {
  edit: '',
  restore: 'before an earlier version was put back; ',
  merge: 'before another version was chosen; ',
} as const;

interface RowProps extends Shown {
  readonly version: Version<AnyRecord>;
  /** What it is called in this list. */
  readonly when: string;
  /** What took its place. */
  readonly next: AnyRecord;
}

function Row({ of, version, when, next, value, route }: RowProps) {
  const app = useApp();
  const open = route.query.of === nameOf(version);
  const panel = useId();
  const titleOf = titlesIn(app.store);
  const said = changeWords(version.value, next, titleOf);
  return (
    <li>
      <div className="version-row">
        <span className="version-when">{when}</span>
        <span className="version-what quiet">
          {WHY[version.why]}changed then: {said.join(', ')}
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
            {open ? 'Close' : 'See it'} <span className="unseen">{when}</span>
          </button>
          <button type="button" onClick={() => void putBackRecord(app, of.kind, value.id, version)}>
            Put back <span className="unseen">the version of {when}</span>
          </button>
        </span>
      </div>
      {open && (
        <div id={panel} className="version-held">
          <h2>What differs from now</h2>
          <ul>
            {changeWords(version.value, value, titleOf).map((words) => (
              <li key={words}>{words}</li>
            ))}
          </ul>
          <h2>What it held</h2>
          <p>
            <strong>{shownTitle(version.value.meta)}</strong>
          </p>
          <HeldList all={of.held(version.value, titleOf)} />
        </div>
      )}
    </li>
  );
}

/** Numbers are those of the parts, as what has changed names them. */
function HeldList({ all }: { readonly all: readonly Held[] }) {
  const whole = all.filter((h) => h.whole);
  const parts = all.filter((h) => !h.whole);
  return (
    <>
      {whole.length > 0 && <ul>{whole.map(heldLine)}</ul>}
      {parts.length > 0 && <ol>{parts.map(heldLine)}</ol>}
    </>
  );
}

const heldLine = ({ line, more }: Held, at: number) => (
  // Two may say the same; a version never changes.
  <li key={at}>
    {line}
    {more.map((text, k) => (
      // biome-ignore lint/suspicious/noArrayIndexKey: as above.
      <p key={k} className="quiet">
        {text}
      </p>
    ))}
  </li>
);

const titlesIn = (store: LibraryStore) => (id: string) => store.phrase(id)?.identity.title ?? null;

function changeWords(
  a: AnyRecord,
  b: AnyRecord,
  titleOf: (id: string) => string | null,
): readonly string[] {
  const said = differences(a, b, { sides: IN_TIME, titleOf });
  if (said.length > 0) return said;
  return differingFields(a, b).length === 0 ? ['nothing'] : ['nothing that is told here'];
}
