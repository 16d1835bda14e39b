import { useEffect, useMemo, useState } from 'react';
import { useActions } from '../frame/app-context';
import { pitchName } from '../frame/recording/pitch-name';
import { inputWords } from './heard-words';
import type { WhatToKeep } from './messages';
import { type Input, inputs } from './microphone';
import type { EarState, UseEar } from './use-ear';
import { useKeys } from './use-keys';
import { useSteady } from './use-steady';

/** The microphone: begin, keep, stop, which input, how loud, and the notes as they are heard. */
export function Listening(props: {
  readonly ear: UseEar;
  readonly keep: (what: WhatToKeep) => void;
}) {
  const { ear, keep } = props;
  const { state, listen, stop } = ear;
  const { listening } = state;
  const known = useInputs(listening);
  const [wish, setInput] = useState('');
  // One that was pulled out cannot be listened to.
  const input = known.some((k) => k.id === wish) ? wish : '';
  return (
    <section aria-labelledby="catch-listen">
      <h2 id="catch-listen">Microphone or other input</h2>
      <p className="buttons">
        {state.remembered && <KeepButtons keep={keep} />}
        {listening ? (
          <button type="button" onClick={stop}>
            Stop listening
          </button>
        ) : (
          <button
            type="button"
            className={state.remembered ? undefined : 'strong'}
            onClick={() => void listen(input)}
          >
            Listen to what I play
          </button>
        )}
        {known.length > 1 && (
          <label>
            <span>Input</span>
            <select
              value={input}
              onChange={(e) => {
                setInput(e.target.value);
                if (listening) void listen(e.target.value);
              }}
            >
              <option value="">the usual one</option>
              {known.map((k) => (
                <option key={k.id} value={k.id}>
                  {k.name}
                </option>
              ))}
            </select>
          </label>
        )}
      </p>
      {listening && <HeardNow state={state} />}
    </section>
  );
}

/** The inputs there are, also when one is plugged in or pulled out; none before one was listened to. */
function useInputs(listening: boolean): readonly Input[] {
  const [known, setKnown] = useState<readonly Input[]>([]);
  useEffect(() => {
    const look = () => void inputs().then(setKnown);
    if (listening) look();
    const { mediaDevices } = navigator;
    mediaDevices?.addEventListener('devicechange', look);
    return () => mediaDevices?.removeEventListener('devicechange', look);
  }, [listening]);
  return known;
}

const WAYS = [
  { what: 'all', key: 'k', title: 'Keep what I just played', words: 'caught all memory' },
  { what: 'round', key: 'l', title: 'Keep the last round', words: 'caught chorus form once' },
  { what: 'phrase', key: 'p', title: 'Keep the last phrase', words: 'caught lick since rest' },
] as const;

/** All of it, or a part that goes without what was tried before it: by button, by key, or from the list of actions. */
function KeepButtons({ keep }: { readonly keep: (what: WhatToKeep) => void }) {
  const run = useSteady(keep);
  // Whoever plays has one hand for it at most.
  useKeys(Object.fromEntries(WAYS.map(({ what, key }) => [key, () => run(what)])));
  useActions(
    useMemo(
      () =>
        WAYS.map(({ what, key, title, words }) => ({
          id: `catch.keep-${what}`,
          title,
          group: 'Catch it',
          words,
          shownKey: key.toUpperCase(),
          run: () => run(what),
        })),
      [run],
    ),
  );
  return WAYS.map(({ what, key, title }) => (
    <button
      key={what}
      type="button"
      className={what === 'all' ? 'strong' : undefined}
      aria-keyshortcuts={key}
      onClick={() => run(what)}
    >
      {title} ({key.toUpperCase()})
    </button>
  ));
}

/** How loud it is, what is to be said of that, and the notes as they come. */
function HeardNow({ state }: { readonly state: EarState }) {
  const decibels = Math.max(-60, 20 * Math.log10(Math.max(1e-6, state.level)));
  return (
    <>
      <p className="catch-level">
        <label>
          <span>Level</span>
          <meter min={-60} max={0} low={-45} high={-3} optimum={-18} value={decibels}>
            {Math.round(decibels)} dB
          </meter>
        </label>
        {/* One line, so that nothing jumps while one plays. */}
        <span className="quiet">{inputWords(state)}</span>
      </p>
      <ol className="catch-live" aria-label="Notes as they are heard">
        {state.live.map((n) => (
          <li key={n.id}>
            {pitchName(n.midi)}
            {n.technique === '' ? '' : ` ${n.technique}`}
          </li>
        ))}
      </ol>
    </>
  );
}
