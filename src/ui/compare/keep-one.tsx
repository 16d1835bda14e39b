import { useMemo } from 'react';
import type { Phrase } from '../../core/phrase/types';
import { useActions, useApp } from '../frame/app-context';
import { navigate } from '../frame/use-route';
import { titleOf } from '../shared/facts';
import { keepApart, keepOnly } from './keep-version';

interface KeepOneProps {
  readonly upper: Phrase;
  readonly lower: Phrase;
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
      <p className="buttons">
        {ways.map(({ id, title, run }) => (
          <button key={id} type="button" onClick={run}>
            {title}
          </button>
        ))}
      </p>
    </section>
  );
}

function show(id: string | null): void {
  if (id !== null) navigate({ page: 'phrase', id, query: {} }, 'replace');
}
