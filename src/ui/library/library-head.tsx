import type { ReactNode } from 'react';

/** What the library is, how much of it is shown, and where one goes from it. */
export function LibraryHead(props: {
  readonly begin: () => void;
  readonly bringIn: () => void;
  /** How much is shown. */
  readonly children: ReactNode;
}) {
  return (
    <div className="library-head">
      <h1>Library</h1>
      <p role="status" className="quiet">
        {props.children}
      </p>
      <p className="buttons">
        <button type="button" onClick={props.begin}>
          Write a new phrase
        </button>
        <button type="button" onClick={props.bringIn}>
          Bring phrases in …
        </button>
        <a className="button" href="#/solo">
          Solo over a form
        </a>
        <a className="button" href="#/lessons">
          Lessons
        </a>
        <a className="button" href="#/collections">
          Collections
        </a>
        <a className="button" href="#/catch">
          Catch it
        </a>
      </p>
    </div>
  );
}
