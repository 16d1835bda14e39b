import type { PhraseEvent, Ticks, Tuplet } from '../phrase/types';
import { reachTo, withVoice } from '../phrase/voices';
import { endOf } from '../phrase/walk';
import { shiftFrom } from './lengths';
import { voiceOf } from './select';
import type { EditState, Flow } from './state';

/** Chosen moments, and the time from the first one's beginning to the last one's end. */
export interface Stretch {
  readonly events: readonly PhraseEvent[];
  readonly from: Ticks;
  readonly to: Ticks;
}

/**
 * The moments of a stretch at other times, the selection with them. `scale` keeps the stretch's
 * beginning; `gone` are its tuplets, `come` those it gets instead, at their new times. What comes
 * later keeps its distance where the flow is `push`; else it moves only where there is no room.
 */
export function rescaled(
  s: EditState,
  { events, from, to }: Stretch,
  scale: (t: Ticks) => Ticks,
  tuplets: { readonly gone: readonly Tuplet[]; readonly come: readonly Tuplet[] },
  flow: Flow = s.pen.flow,
): EditState {
  const { voice } = s.selection;
  const end = scale(to);
  const next = Math.min(
    ...voiceOf(s)
      .events.filter((e) => e.onset >= to)
      .map((e) => e.onset),
  );
  const by = flow === 'push' || end > next ? end - to : 0;
  const room = reachTo(shiftFrom(s.phrase, voice, to, by), end);
  const phrase = withVoice(room, voice, (v) => ({
    events: v.events.map((e) => {
      if (!events.includes(e)) return e;
      const { guessed, ...sure } = e;
      return { ...sure, onset: scale(e.onset), duration: scale(endOf(e)) - scale(e.onset) };
    }),
    tuplets: [...v.tuplets.filter((t) => !tuplets.gone.includes(t)), ...tuplets.come].sort(
      (a, b) => a.onset - b.onset,
    ),
  }));
  const moved = (t: Ticks) => (t < from ? t : t < to ? scale(t) : t + by);
  const { cursor, corner } = s.selection;
  return {
    ...s,
    phrase,
    selection: {
      ...s.selection,
      cursor: { ...cursor, onset: moved(cursor.onset) },
      corner: corner === null ? null : { ...corner, onset: moved(corner.onset) },
    },
  };
}
