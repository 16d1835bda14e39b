import { memo, useLayoutEffect, useMemo, useRef } from 'react';
import type { Command } from '../../core/edit/command';
import { setUp } from '../../core/edit/commands/setup';
import type { EditState, Reading } from '../../core/edit/state';
import { keysOf } from '../../core/edit/table';
import { useApp } from '../frame/app-context';
import type { Writer } from '../frame/writing/writer';
import { keyWords, titleOfRun } from '../shared/command-words';
import type { Clipboard } from './clipboard';
import { type Offer, offersFor } from './offers';

interface OfferRowProps {
  readonly state: EditState;
  readonly run: Writer['run'];
  readonly why: Writer['why'];
  readonly clipboard: Clipboard;
  /** Asks for what a command has to be told. */
  readonly onAsk: (command: Command) => void;
  /** Brings the focus back to the score. */
  readonly onDone: () => void;
}

/** The commands for what is chosen, each with its key; one that cannot be run says why when asked. */
export const OfferRow = memo(function OfferRow(props: OfferRowProps) {
  const { state, run, why, clipboard, onAsk, onDone } = props;
  const { actions } = useApp();
  const offers = useMemo(() => offersFor(state), [state]);
  const row = useRef<HTMLDivElement>(null);
  const names = offers.map((o) => o.short).join();
  // Other offers are read from the first one on, wherever the row was pushed to on a phone.
  // biome-ignore lint/correctness/useExhaustiveDependencies: the names are what the row shows.
  useLayoutEffect(() => {
    if (row.current !== null) row.current.scrollLeft = 0;
  }, [names]);
  return (
    // biome-ignore lint/a11y/useSemanticElements: a row of buttons is no form.
    <div ref={row} className="offers" role="group" aria-label="For what is chosen">
      {state.phrase.voices.some((v) => v.events.length > 0) ? null : (
        <button type="button" onClick={() => onAsk(setUp)}>
          Set it up <kbd>S</kbd>
        </button>
      )}
      {offers.map((o) => {
        const because = why(o.command, o.value);
        const key = keyFor(o, state.pen.reading);
        return (
          <button
            type="button"
            key={`${o.command.id} ${String(o.value)}`}
            aria-disabled={because !== null}
            title={titleOfRun(o.command, o.value)}
            onClick={() => {
              run(o.command, o.value);
              onDone();
            }}
          >
            {o.short} {key === null ? null : <kbd>{keyWords(key)}</kbd>}
          </button>
        );
      })}
      {state.selection.corner === null ? null : (
        <>
          <button type="button" onClick={clipboard.copy}>
            Copy <kbd>Ctrl+C</kbd>
          </button>
          <button type="button" onClick={clipboard.cut}>
            Cut <kbd>Ctrl+X</kbd>
          </button>
        </>
      )}
      {state.selection.corner === null && clipboard.copied() ? (
        <>
          <button type="button" onClick={() => void clipboard.paste('as it is')}>
            Put in <kbd>Ctrl+V</kbd>
          </button>
          <button type="button" onClick={() => void clipboard.paste('over the chord')}>
            Put in over the chord <kbd>Ctrl+Shift+V</kbd>
          </button>
        </>
      ) : null}
      <button
        type="button"
        className="plain"
        onClick={() =>
          actions
            .list()
            .find((a) => a.id === 'app.actions')
            ?.run()
        }
      >
        More …
      </button>
    </div>
  );
});

function keyFor({ command, value }: Offer, reading: Reading): string | null {
  return keyIn(keysOf(command, value), reading);
}

/** The first of some keys that holds while digits are read in one way. */
export function keyIn(keys: ReturnType<typeof keysOf>, reading: EditState['pen']['reading']) {
  return keys.find((k) => k.reading === undefined || k.reading.includes(reading))?.key ?? null;
}
