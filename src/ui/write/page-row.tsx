import { addressOf } from '../frame/route';
import type { PageDoings } from './use-doings';

/** What can be done with the whole phrase, at the end of the page; all of it is in the list as well. */
export function PageRow({ doings }: { readonly doings: PageDoings }) {
  return (
    <nav className="page-row" aria-label="What to do with this phrase">
      <button type="button" onClick={doings.toPrint}>
        Print it
      </button>
      <button type="button" onClick={doings.onExport}>
        Export it
      </button>
      <button type="button" onClick={doings.onCopy}>
        Write on in a copy
      </button>
      <a className="button" href={addressOf({ page: 'keys', query: {} })}>
        What the keys do <kbd>?</kbd>
      </a>
    </nav>
  );
}
