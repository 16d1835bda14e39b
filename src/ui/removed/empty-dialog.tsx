import { useId } from 'react';
import type { RemovedThing } from '../../storage/types';
import { useApp } from '../frame/app-context';
import { inParts } from '../frame/keep-and-remove';
import { countOf } from '../shared/count-of';
import { useModal } from '../shared/use-modal';

interface Props {
  readonly things: readonly RemovedThing[];
  readonly onClose: () => void;
}

/** Asks before what was removed is deleted for good; who presses Enter at once keeps it. */
export function EmptyDialog({ things, onClose }: Props) {
  const app = useApp();
  const { end, props } = useModal(onClose);
  const id = useId();
  const forget = async () => {
    const { done, refused } = await inParts(app, things, 'Deleting', (some) =>
      app.store.things.forget(some),
    );
    if (refused !== null) app.notices.trouble('Not all of it was deleted.', refused);
    if (done.length > 0) app.notices.done(`${countOf(done)} deleted for good.`);
  };
  return (
    <dialog {...props} aria-labelledby={`${id}-title`}>
      <h2 id={`${id}-title`}>Delete for good?</h2>
      <p>
        {countOf(things)} will be gone, with no way to bring {things.length === 1 ? 'it' : 'them'}{' '}
        back but a backup.
      </p>
      <p className="buttons">
        <button type="button" className="primary" onClick={end}>
          Keep {things.length === 1 ? 'it' : 'them'}
        </button>
        <button
          type="button"
          onClick={() => {
            end();
            void forget();
          }}
        >
          Delete for good
        </button>
      </p>
    </dialog>
  );
}
