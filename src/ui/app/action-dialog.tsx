import { type KeyboardEvent, useEffect, useId, useMemo, useRef, useState } from 'react';
import type { Action } from '../frame/actions';
import { findActions, possibleFirst } from '../frame/find-actions';
import { typeBehind } from '../frame/type-now';
import { useModal } from '../shared/use-modal';
import type { TypedAhead } from './typed-ahead';

interface ActionDialogProps {
  readonly actions: readonly Action[];
  readonly ahead: Readonly<TypedAhead>;
  readonly onClose: () => void;
}

/** Everything that can be done here, found by typing. */
export function ActionDialog({ actions, ahead, onClose }: ActionDialogProps) {
  const { end, props } = useModal(onClose);
  const [typed, setTyped] = useState(ahead.text);
  const [at, setAt] = useState(0);
  const id = useId();
  const reasons = useReasons(actions);
  const found = useMemo(() => {
    const all = findActions(actions, typed).filter((a) => a.id !== 'app.actions');
    return typed.trim() === ''
      ? all
      : possibleFirst(all, (a) => (reasons.get(a.id) ?? null) === null, typed);
  }, [actions, typed, reasons]);
  const reason = (a: Action) => reasons.get(a.id) ?? a.blocked ?? null;
  const chosen = found[Math.min(at, found.length - 1)];
  useEffect(() => {
    if (chosen !== undefined) {
      document.getElementById(optionId(id, chosen))?.scrollIntoView({ block: 'nearest' });
    }
  }, [chosen, id]);
  const run = (a: Action | undefined) => {
    if (a === undefined || reasonOf(a) !== null) return;
    end();
    a.run();
  };
  const entered = useRef(ahead.enter);
  useEffect(() => {
    if (!entered.current) return;
    entered.current = false;
    run(chosen);
    typeBehind(ahead.after);
  });
  const onKeyDown = (e: KeyboardEvent) => {
    const step = e.key === 'ArrowDown' ? 1 : e.key === 'ArrowUp' ? -1 : 0;
    if (step !== 0 && found.length > 0) {
      e.preventDefault();
      setAt((Math.min(at, found.length - 1) + step + found.length) % found.length);
    } else if (e.key === 'Enter') {
      e.preventDefault();
      run(chosen);
    }
  };
  return (
    <dialog {...props} className="action-list" aria-labelledby={`${id}-title`}>
      <h2 id={`${id}-title`}>What can be done here</h2>
      <input
        type="text"
        role="combobox"
        aria-expanded="true"
        aria-controls={`${id}-list`}
        aria-activedescendant={chosen === undefined ? undefined : optionId(id, chosen)}
        aria-autocomplete="list"
        aria-label="Say what you want to do"
        placeholder="Say what you want to do"
        autoComplete="off"
        autoFocus
        value={typed}
        onChange={(e) => {
          setTyped(e.target.value);
          setAt(0);
        }}
        onKeyDown={onKeyDown}
      />
      <p role="status" className="unseen">
        {found.length === 1 ? '1 thing' : `${found.length} things`}
      </p>
      <Options found={found} chosen={chosen} id={id} reason={reason} onRun={run} />
      {found.length === 0 && <p className="quiet">Nothing here is called so. Try fewer letters.</p>}
      <p className="buttons">
        <button type="button" onClick={end}>
          Close
        </button>
      </p>
    </dialog>
  );
}

/** Why each action cannot be run now, by its id; null where it can. */
function useReasons(actions: readonly Action[]): ReadonlyMap<string, string | null> {
  const [reasons, setReasons] = useState<ReadonlyMap<string, string | null>>(UNKNOWN);
  useEffect(() => {
    // Finding out takes a moment: the list is on screen first.
    const timer = setTimeout(() => setReasons(new Map(actions.map((a) => [a.id, reasonOf(a)]))));
    return () => clearTimeout(timer);
  }, [actions]);
  return reasons;
}

interface OptionsProps {
  readonly found: readonly Action[];
  readonly chosen: Action | undefined;
  /** Of the dialog: its options are named after it. */
  readonly id: string;
  readonly reason: (a: Action) => string | null;
  readonly onRun: (a: Action) => void;
}

/** What was found, by groups. The keys go to the field above, which names the chosen option. */
function Options({ found, chosen, id, reason, onRun }: OptionsProps) {
  const groups = [...new Set(found.map((a) => a.group))];
  return (
    <div id={`${id}-list`} role="listbox" aria-label="What can be done" className="action-options">
      {groups.map((group) => (
        // biome-ignore lint/a11y/useSemanticElements: groups of options have no element of their own here.
        <div role="group" key={group} aria-label={group}>
          <div className="action-group" aria-hidden="true">
            {group}
          </div>
          {found
            .filter((a) => a.group === group)
            .map((a) => (
              // biome-ignore lint/a11y/useKeyWithClickEvents: the combobox above has the keys.
              // biome-ignore lint/a11y/useFocusableInteractive: focus stays in the combobox.
              <div
                key={a.id}
                id={optionId(id, a)}
                role="option"
                aria-selected={a === chosen}
                aria-disabled={reason(a) !== null}
                className="action"
                onClick={() => onRun(a)}
              >
                <span>
                  {a.title}
                  <small>{reason(a)}</small>
                </span>
                <Key name={a.key ?? a.shownKey} />
              </div>
            ))}
        </div>
      ))}
    </div>
  );
}

function optionId(id: string, a: Action): string {
  return `${id}-${a.id}`;
}

function Key({ name }: { readonly name: string | undefined }) {
  return name === undefined ? null : <kbd>{name}</kbd>;
}

const UNKNOWN: ReadonlyMap<string, string | null> = new Map();

function reasonOf(a: Action): string | null {
  return a.blocked ?? a.why?.() ?? null;
}
