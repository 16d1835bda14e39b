import { useMemo } from 'react';
import type { Phrase } from '../../core/phrase/types';
import type { Action } from '../frame/actions';
import { useActions, useApp } from '../frame/app-context';
import { keepApart, keepOnly } from '../frame/keep-version';
import { keepTwins, TWINS } from '../frame/kept-twins';
import { navigate } from '../frame/use-route';
import { titleOf } from '../shared/facts';

interface KeepOneProps {
  readonly upper: Phrase;
  readonly lower: Phrase;
}

/** Two phrases that are nearly the same: which is to stay. Then the others that are here twice. */
export function KeepTwin({ upper, lower }: KeepOneProps) {
  const app = useApp();
  const ways = useMemo(
    () => [
      {
        id: 'twins.above',
        title: 'Keep only the one above',
        group: 'These two phrases',
        run: () => void keepOnly(app, upper, lower).then(showTwins),
      },
      {
        id: 'twins.below',
        title: 'Keep only the one below',
        group: 'These two phrases',
        run: () => void keepOnly(app, lower, upper).then(showTwins),
      },
      {
        id: 'twins.both',
        title: 'Keep both',
        group: 'These two phrases',
        run: () =>
          void keepTwins(app, [upper.id, lower.id]).then((kept) =>
            showTwins(kept ? upper.id : null),
          ),
      },
    ],
    [app, upper, lower],
  );
  useActions(ways);
  return (
    <section className="keep-one" aria-labelledby="keep-one">
      <h2 id="keep-one">
        “{titleOf(upper)}” and “{titleOf(lower)}” are nearly the same
      </h2>
      <p>
        Collections and days of use of the one you do not keep go over to the other. It can be
        brought back.
      </p>
      <Ways ways={ways} />
    </section>
  );
}

/** Two versions of one phrase that came together: which is to stay. */
export function KeepOne({ upper, lower }: KeepOneProps) {
  const app = useApp();
  const ways = useMemo(
    () => [
      {
        id: 'versions.above',
        title: 'Keep only the version above',
        group: 'These two versions',
        run: () => void keepOnly(app, upper, lower).then(show),
      },
      {
        id: 'versions.below',
        title: 'Keep only the version below',
        group: 'These two versions',
        run: () => void keepOnly(app, lower, upper).then(show),
      },
      {
        id: 'versions.both',
        title: 'Keep both',
        group: 'These two versions',
        run: () => void keepApart(app, upper, lower),
      },
    ],
    [app, upper, lower],
  );
  useActions(ways);
  return (
    <section className="keep-one" aria-labelledby="keep-one">
      <h2 id="keep-one">Two versions of “{titleOf(upper)}”</h2>
      <p>
        Two versions of it came together, and both are here. Look at what differs, and choose if you
        like; what you do not keep can be brought back.
      </p>
      <Ways ways={ways} />
    </section>
  );
}

function Ways({ ways }: { readonly ways: readonly Action[] }) {
  return (
    <p className="buttons">
      {ways.map(({ id, title, run }) => (
        <button key={id} type="button" onClick={run}>
          {title}
        </button>
      ))}
    </p>
  );
}

function showTwins(id: string | null): void {
  if (id !== null) navigate({ page: 'library', query: TWINS }, 'replace');
}

function show(id: string | null): void {
  if (id !== null) navigate({ page: 'phrase', id, query: {} }, 'replace');
}
