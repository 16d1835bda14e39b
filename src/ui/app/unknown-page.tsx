import { usePageTitle } from '../frame/app-context';
import { addressOf, type RouteOf } from '../frame/route';

/** For an address that is no place of ours. */
export function UnknownPage({ route }: { readonly route: RouteOf<'unknown'> }) {
  usePageTitle('No such page');
  return (
    <section className="page">
      <h1>There is no such page</h1>
      <p>
        The address ends in <q>{route.address}</q>, and no page is called so. It may have been typed
        or copied only in part.
      </p>
      <p>
        <a className="button" href={addressOf({ page: 'library', query: {} })}>
          Go to the library
        </a>
      </p>
    </section>
  );
}
