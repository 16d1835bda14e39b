import { type ReactNode, useEffect, useMemo } from 'react';
import { TONES } from '../../../core/sound/tone';
import type { Action } from '../actions';
import { useActions } from '../app-context';
import { Choice } from '../export/choice';
import { TONE_WORDS } from '../export/sound-fields';
import './listen.css';
import type { UsePlayer } from './use-player';

const SPEEDS = [
  '25',
  '40',
  '50',
  '60',
  '70',
  '80',
  '90',
  '100',
  '110',
  '125',
  '150',
  '200',
] as const;
const SPEED_WORDS = Object.fromEntries(SPEEDS.map((s) => [s, `${s} %`])) as Record<
  (typeof SPEEDS)[number],
  string
>;

/** The button that plays a phrase and stops it, with speed, tone and over and over beside it. */
export function ListenBar(props: {
  readonly player: UsePlayer;
  /** What else is chosen about listening on this page. */
  readonly children?: ReactNode;
}) {
  const { player, children } = props;
  const { state, listening, set, toggle } = player;
  const silent = state === 'silent';
  useSpaceBar(toggle);
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
      ],
      [silent, listening, toggle, set],
    ),
  );
  return (
    <section className="listen" aria-label="Listen">
      <button
        type="button"
        className="strong listen-button"
        onClick={toggle}
        aria-keyshortcuts="Space"
      >
        <svg viewBox="0 0 16 16" width="14" height="14" aria-hidden="true">
          {silent ? <path d="M3 1.5 14 8 3 14.5z" /> : <path d="M2.5 2.5h11v11h-11z" />}
        </svg>
        {silent ? 'Listen' : state === 'starting' ? 'One moment' : 'Stop'}
      </button>
      {children}
      <Choice
        label="Speed"
        value={SPEEDS.find((s) => Number(s) === listening.speed) ?? '100'}
        values={SPEEDS}
        words={SPEED_WORDS}
        onChange={(speed) => set({ speed: Number(speed) })}
      />
      <Choice
        label="Tone"
        value={listening.tone}
        values={['own', ...TONES]}
        words={TONE_WORDS}
        onChange={(tone) => set({ tone })}
      />
      <label className="listen-loop">
        <input
          type="checkbox"
          checked={listening.loop}
          onChange={(e) => set({ loop: e.target.checked })}
        />
        <span>Over and over</span>
      </label>
      {listening.loop && (
        <p className="quiet listen-care">
          Keep the volume moderate. Warm up, take breaks, and stop when it hurts: ask a teacher or a
          clinician.
        </p>
      )}
    </section>
  );
}

/** The space bar plays and stops, except where it means something else. */
function useSpaceBar(toggle: () => void): void {
  useEffect(() => {
    const press = (e: KeyboardEvent) => {
      if (e.key !== ' ' || e.ctrlKey || e.metaKey || e.altKey || e.defaultPrevented) return;
      const at = e.target instanceof Element ? e.target : null;
      const busy =
        at?.closest('button, a, input, select, textarea, summary, dialog, [role="application"]') ??
        null;
      if (busy !== null || document.querySelector('dialog[open]') !== null) return;
      e.preventDefault();
      toggle();
    };
    window.addEventListener('keydown', press);
    return () => window.removeEventListener('keydown', press);
  }, [toggle]);
}
