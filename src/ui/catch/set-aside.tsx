import { useEffect } from 'react';
import type { UnkeptHere } from './use-unkept';

/** What becomes of that which stands here and is not kept, and the way to be rid of it. */
export function SetAside(props: {
  readonly unkept: UnkeptHere;
  readonly hasSound: boolean;
  /** It was caught on this visit of the page. */
  readonly isNew: boolean;
}) {
  const { unkept, hasSound, isNew } = props;
  const { work, safe, throwAway } = unkept;
  useEffect(() => {
    if (safe) return;
    // Whoever closes the window is asked.
    const ask = (e: BeforeUnloadEvent) => e.preventDefault();
    window.addEventListener('beforeunload', ask);
    return () => window.removeEventListener('beforeunload', ask);
  }, [safe]);
  if (work === null) return null;
  return (
    <>
      {!safe && (
        <p role="alert" className="problem">
          This browser cannot set aside what is not kept, or has no room for it: keep it before you
          leave this page, else it is lost.
        </p>
      )}
      <p className="buttons">
        <span className="quiet">
          {!isNew && !hasSound
            ? 'As you left it; its sound was not kept.'
            : safe
              ? 'What you do not keep is here again when you come back, without its sound.'
              : ''}
        </span>
        <button type="button" onClick={() => void throwAway(work.id)}>
          Throw all of it away
        </button>
      </p>
    </>
  );
}
