import { useEffect, useMemo } from 'react';
import { useApp, useLibrary } from '../frame/app-context';
import { OpeningLibrary } from '../frame/opening-library';
import { usePhrasesOf } from '../frame/phrases-of';
import { useForms } from '../frame/use-forms';
import { navigate } from '../frame/use-route';
import { count } from '../shared/words';
import { askedToLay, layFirst, queryOf } from './lay-first';

/** `#/solo?lay=ID ID`: finds form, key and bars for some phrases, and goes on to the page with them on it. */
export function LayAsked({ lay }: { readonly lay: string }) {
  const { notices } = useApp();
  const { state } = useLibrary();
  const forms = useForms();
  const ids = useMemo(() => askedToLay(lay), [lay]);
  const { phrases, gone } = usePhrasesOf(ids);
  const ready = state === 'ready' ? phrases : null;
  const isGone = state === 'ready' && gone.length === ids.length;
  useEffect(() => {
    if (isGone) {
      notices.trouble('Nothing was laid on a form.', [goneWords(gone.length)]);
      navigate({ page: 'solo', query: {} }, 'replace');
      return;
    }
    // Read before the library was open, none were there yet.
    if (ready === null || ready.length < ids.length - gone.length) return;
    const laid = layFirst(ready, forms);
    const left = gone.length === 0 ? laid.left : [goneWords(gone.length), ...laid.left];
    if (left.length > 0) notices.trouble('Not all of it was laid on the form.', left);
    navigate({ page: 'solo', query: queryOf(laid) }, 'replace');
  }, [ready, isGone, gone, ids, forms, notices]);
  if (state !== 'ready') return <OpeningLibrary />;
  return (
    <p className="page" role="status">
      Finding bars for it …
    </p>
  );
}

const goneWords = (many: number): string =>
  many === 1
    ? 'The phrase is not in the library any more.'
    : `${count(many, 'phrase')} are not in the library any more.`;
