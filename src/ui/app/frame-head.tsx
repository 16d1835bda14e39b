import { addressOf, type Route } from '../frame/route';

export const LIBRARY: Route = { page: 'library', query: {} };

/** Opens the list of everything that can be done here. */
export const LIST_KEY = 'Ctrl+.';

/** Over every page: the name, the way back, and what can be done here. */
export function FrameHead(props: { readonly atLibrary: boolean; readonly openList: () => void }) {
  return (
    <header className="frame-head">
      <a className="wordmark" href={addressOf(LIBRARY)}>
        Degreewise
      </a>
      {!props.atLibrary && (
        <nav aria-label="Way back">
          <a href={addressOf(LIBRARY)}>Library</a>
        </nav>
      )}
      <button
        type="button"
        className="everything"
        onClick={props.openList}
        aria-keyshortcuts="Control+."
      >
        What can be done here <kbd>{LIST_KEY}</kbd>
      </button>
    </header>
  );
}
