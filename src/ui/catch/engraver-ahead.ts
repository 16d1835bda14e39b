import type { Phrase, PhraseEvent } from '../../core/phrase/types';
import { TICKS_PER_QUARTER } from '../../core/phrase/types';
import { withEvents } from '../../core/phrase/voices';
import { emptyPhrase } from '../frame/new-phrase';
import { loadEngraver } from '../score/engraver';

let begun = false;

/**
 * Draws some music that nobody sees, so that the first phrase that was caught need not wait for what browsers prepare when
 * something is done first: a little in each task, while nothing else is done here.
 * @param app Gives an id and a time.
 */
export async function engraverAhead(app: Parameters<typeof emptyPhrase>[0]): Promise<void> {
  if (begun) return;
  begun = true;
  try {
    const { createEngraver } = await loadEngraver();
    for (const phrase of first(emptyPhrase(app, null))) {
      await new Promise((next) => setTimeout(next));
      createEngraver().engrave(phrase, { width: 800 });
    }
  } catch {
    // Without it the first phrase takes longer; what is wrong is said where that is drawn.
    begun = false;
  }
}

/** Each asks a little more of what draws than the one before. */
function first(empty: Phrase): readonly Phrase[] {
  const note = (onset: number, fret: number): PhraseEvent => ({
    onset: onset * TICKS_PER_QUARTER,
    duration: TICKS_PER_QUARTER / 2,
    notes: [
      {
        ...{ kind: 'pitched', id: `n${onset}`, string: 1, fret },
        pitch: { letter: fret === 1 ? 'F' : 'G', alter: 0, octave: 4 },
      },
    ],
  });
  const shapes = [[], [note(0, 1)], [note(0, 1), note(0.5, 3), note(1, 1), note(1.5, 3)]];
  return [empty, ...shapes.map((events) => withEvents(empty, 0, () => events))];
}
