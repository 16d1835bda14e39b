import { type ComponentType, type ReactNode, useEffect, useState } from 'react';
import { NotThere, type OnDemand } from './on-demand';

/**
 * A component that is fetched when it is first shown. Until it is there `waiting` stands in its place,
 * and where it does not come, what to do.
 * @param without What stands there instead of an alert where many of it are on a page: each comes when the network is back.
 */
export function partOnDemand<P extends object>(
  part: OnDemand<ComponentType<P>>,
  waiting: ReactNode = null,
  without?: ReactNode,
): ComponentType<P> {
  // biome-ignore lint/correctness/noComponentHookFactories: called once for each part, where modules are loaded.
  return function Part(props: P) {
    // In a box, since a component is a function, which a state would call.
    const [come, setCome] = useState<{ readonly is: ComponentType<P> } | null>(() => {
      const is = part.known();
      return is === null ? null : { is };
    });
    const [trouble, setTrouble] = useState<string | null>(null);
    const waits = come === null && trouble === null;
    useEffect(() => {
      if (!waits) return;
      let shown = true;
      part.get().then(
        (is) => {
          if (shown) setCome({ is });
        },
        (reason: unknown) => {
          if (shown) setTrouble(reason instanceof NotThere ? reason.message : String(reason));
        },
      );
      return () => {
        shown = false;
      };
    }, [waits]);
    if (come !== null) return <come.is {...props} />;
    if (trouble === null) return waiting;
    return <Missing words={trouble} onAgain={() => setTrouble(null)} without={without} />;
  };
}

/** Says that a part of the program did not come, and asks for it again when the network is back. */
export function Missing(props: {
  readonly words: string;
  readonly onAgain: () => void;
  readonly without?: ReactNode;
}) {
  const { words, onAgain, without } = props;
  useEffect(() => {
    window.addEventListener('online', onAgain);
    return () => window.removeEventListener('online', onAgain);
  }, [onAgain]);
  if (without !== undefined) return without;
  return (
    <section className="page missing" role="alert">
      <p>{words}</p>
      <p className="buttons">
        <button type="button" className="primary" onClick={onAgain}>
          Try again
        </button>
        <button type="button" onClick={() => window.location.reload()}>
          Load the page again
        </button>
      </p>
    </section>
  );
}
