import { type KeyboardEvent, useCallback, useLayoutEffect, useRef } from 'react';

/**
 * A dialog that is over at the moment somebody ends it. The system's own `close` event comes later
 * than keys that are pressed meanwhile: whoever waits for it takes the next dialog for the last.
 * @param onEnd Called once.
 * @returns `end`, which ends it, and `props` for the `<dialog>`; Escape ends it too.
 */
export function useModal(onEnd: () => void) {
  const ref = useRef<HTMLDialogElement>(null);
  const ended = useRef(false);
  const end = useCallback(() => {
    if (ended.current) return;
    ended.current = true;
    // Gives the focus back to what had it.
    ref.current?.close();
    onEnd();
  }, [onEnd]);
  // With the drawing: a key after that belongs to the dialog.
  useLayoutEffect(() => ref.current?.showModal(), []);
  const onKeyDown = useCallback(
    (e: KeyboardEvent) => {
      if (e.key !== 'Escape' || e.nativeEvent.isComposing) return;
      e.preventDefault();
      end();
    },
    [end],
  );
  return { end, props: { ref, onClose: end, onKeyDown } };
}
