import { Component, type ReactNode } from 'react';

interface Props {
  readonly children: ReactNode;
  /** A new place gets a new try. */
  readonly place: string;
}

interface State {
  readonly trouble: Error | null;
  readonly place: string;
}

/** Catches what a page throws, so that the frame stays and nothing that is kept is touched. */
export class PageGuard extends Component<Props, State> {
  override state: State = { trouble: null, place: this.props.place };

  static getDerivedStateFromError(trouble: unknown): Partial<State> {
    return { trouble: trouble instanceof Error ? trouble : new Error(String(trouble)) };
  }

  static getDerivedStateFromProps(props: Props, state: State): Partial<State> | null {
    return props.place === state.place ? null : { trouble: null, place: props.place };
  }

  override render() {
    const { trouble } = this.state;
    if (trouble === null) return this.props.children;
    return (
      <section className="page" role="alert">
        <h1>This page could not be shown</h1>
        <p>
          What is in the library is as it was. Load the page again; if it stays so, go back to the
          library and export what you need.
        </p>
        <p className="quiet">What the program says: {trouble.message}</p>
        <p className="buttons">
          <button type="button" className="primary" onClick={() => window.location.reload()}>
            Load it again
          </button>
          <a className="button" href="#/">
            Go to the library
          </a>
        </p>
      </section>
    );
  }
}
