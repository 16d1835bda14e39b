import { useEffect, useState } from 'react';
import type { AnyRecord } from '../../../core/differing/words';
import type { Kind } from '../../../io/kinds/kind';
import { useApp } from '../../frame/app-context';
import type { CameIn } from '../../frame/importer';

/** So many things are said; who wants to know more compares the two. */
const MOST = 4;

/** `: tempo (quarter = 90 / quarter = 100), text of item 2`: what one that was kept beside another has otherwise. */
export function HowItDiffers({ of }: { readonly of: CameIn }) {
  const { store } = useApp();
  const [said, setSaid] = useState<readonly string[]>([]);
  const { kind, id, from } = of;
  useEffect(() => {
    let shown = true;
    void (async () => {
      if (from === undefined) return;
      const { differences } = await import('../../../core/differing/differences');
      // Everything that a library holds has the head of a record.
      const both = await store.of(kind as Kind<AnyRecord>).load([from, id]);
      const [here, came] = both.map((s) => s.value);
      if (!shown || here === undefined || came === undefined) return;
      const titleOf = (phrase: string) => store.phrase(phrase)?.identity.title ?? null;
      // That it was made from the other is how it is kept, not what was in the file.
      setSaid(differences({ ...here, parent: null }, { ...came, parent: null }, { titleOf }));
    })().catch(() => {
      // What cannot be read now is not told; that the two differ stands here all the same.
    });
    return () => {
      shown = false;
    };
  }, [store, kind, id, from]);
  if (said.length === 0) return null;
  const more = said.length - MOST;
  return (
    <span className="quiet">
      {' '}
      ({said.slice(0, MOST).join('; ')}
      {more > 0 ? ` and ${more} more` : ''}: the one that is here / the one that came)
    </span>
  );
}
