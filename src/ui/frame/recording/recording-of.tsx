import { type ComponentType, useEffect, useState } from 'react';
import type { Phrase } from '../../../core/phrase/types';
import { onDemand } from '../../shared/on-demand';

const part = onDemand('How it was played', () =>
  import('./recording-panel').then((m) => m.RecordingPanel),
);

/** How a phrase was played, where it was caught. It comes after the rest of the page. */
export function RecordingOf({ phrase }: { readonly phrase: Phrase }) {
  const [panel, setPanel] = useState<{ readonly is: ComponentType<{ phrase: Phrase }> } | null>(
    null,
  );
  useEffect(() => {
    let shown = true;
    part.get().then(
      (is) => {
        if (shown) setPanel({ is });
      },
      // Most phrases have none, so nothing is said: without a network it is there the next time.
      () => undefined,
    );
    return () => {
      shown = false;
    };
  }, []);
  return panel === null ? null : <panel.is phrase={phrase} />;
}
