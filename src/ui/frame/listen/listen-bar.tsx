import { type ReactNode, useMemo } from 'react';
import { TONES } from '../../../core/sound/tone';
import { useKept } from '../../shared/use-kept';
import type { Action } from '../actions';
import { useActions } from '../app-context';
import { Choice } from '../export/choice';
import { TONE_WORDS } from '../export/sound-fields';
import { STOPS_HIDDEN } from './listening';
import './listen.css';
import { MidiNote } from './midi-fields';
import type { UsePlayer } from './use-player';
import { useSpaceBar } from './use-space-bar';

/** Percent, in steps of five. */
const SPEEDS = Array.from({ length: 36 }, (_, i) => String(25 + 5 * i));
const SPEED_WORDS = Object.fromEntries(SPEEDS.map((s) => [s, `${s} %`]));

type HowHeard = Pick<UsePlayer, 'listening' | 'set'>;

/** How fast it is heard. */
export function SpeedChoice({ player: { listening, set } }: { readonly player: HowHeard }) {
  return (
    <Choice
      label="Speed"
      value={SPEEDS.find((s) => Number(s) === listening.speed) ?? '100'}
      values={SPEEDS}
      words={SPEED_WORDS}
      onChange={(speed) => set({ speed: Number(speed) })}
    />
  );
}

/** Whether it is heard over and over. */
export function LoopChoice({ player: { listening, set } }: { readonly player: HowHeard }) {
  return (
    <label className="listen-loop">
      <input
        type="checkbox"
        checked={listening.loop}
        onChange={(e) => set({ loop: e.target.checked })}
      />
      <span>Over and over</span>
    </label>
  );
}

/** The button that plays a phrase and stops it, with speed, tone and over and over beside it. */
export function ListenBar(props: {
  readonly player: UsePlayer;
  /** What else is chosen about listening on this page. */
  readonly children?: ReactNode;
  /** What stands at the end of the row. */
  readonly more?: ReactNode;
}) {
  const { player, children, more } = props;
  const { state, listening, set, toggle } = player;
  const silent = state === 'silent';
  useSpaceBar(toggle);
  useListenActions(player);
  return (
    <section className="listen" aria-label="Listen">
      <button type="button" className="listen-button" onClick={toggle} aria-keyshortcuts="Space">
        <svg viewBox="0 0 16 16" width="14" height="14" aria-hidden="true">
          {silent ? <path d="M3 1.5 14 8 3 14.5z" /> : <path d="M2.5 2.5h11v11h-11z" />}
        </svg>
        {silent ? 'Listen' : state === 'starting' ? 'One moment' : 'Stop'}
      </button>
      {children}
      <SpeedChoice player={player} />
      <Choice
        label="Tone"
        value={listening.tone}
        values={['own', ...TONES]}
        words={TONE_WORDS}
        onChange={(tone) => set({ tone })}
      />
      <LoopChoice player={player} />
      {more}
      <MidiNote />
      {listening.loop && (
        <p className="quiet listen-care">
          Keep the volume moderate. Warm up, take breaks, and stop when it hurts: ask a teacher or a
          clinician.
        </p>
      )}
    </section>
  );
}

function useListenActions({ state, listening, set, toggle }: UsePlayer): void {
  const [stopsHidden, setStopsHidden] = useKept(STOPS_HIDDEN, false);
  const silent = state === 'silent';
  useActions(
    useMemo(
      (): readonly Action[] => [
        {
          id: 'listen.toggle',
          title: silent ? 'Listen to it' : 'Stop playing',
          group: 'Listen',
          words: 'play hear sound audio',
          run: toggle,
        },
        {
          id: 'listen.half',
          title: listening.speed === 50 ? 'Play it at full speed' : 'Play it at half speed',
          group: 'Listen',
          words: 'slow tempo practise',
          run: () => set({ speed: listening.speed === 50 ? 100 : 50 }),
        },
        {
          id: 'listen.loop',
          title: listening.loop ? 'Play it once' : 'Play it over and over',
          group: 'Listen',
          words: 'loop repeat practise',
          run: () => set({ loop: !listening.loop }),
        },
        {
          id: 'listen.hidden',
          title: stopsHidden
            ? 'Go on playing when another window is in front'
            : 'Stop playing when this page is hidden',
          group: 'Listen',
          words: 'background tab sound',
          run: () => setStopsHidden(!stopsHidden),
        },
      ],
      [silent, listening, toggle, set, stopsHidden, setStopsHidden],
    ),
  );
}
