import type { Phrase, PhraseEvent } from '../phrase/types';
import { withVoice } from '../phrase/voices';
import { endOf } from '../phrase/walk';
import { checkPhrase } from '../validity/check-phrase';

/** A phrase with gaps, and the moments that are missing in it. */
export interface Gapped {
  readonly phrase: Phrase;
  readonly missing: readonly PhraseEvent[];
}

/**
 * The phrase with every so manieth moment of its melody left out. The first stays, so that one knows
 * where to begin, and so does what a hammer-on, a pull-off or a slide starts from.
 * @returns Null where no moment can be left out.
 */
export function withGaps(p: Phrase, every: number): Gapped | null {
  const { events, tuplets } = p.voices[0];
  const missing: PhraseEvent[] = [];
  let since = 0;
  events.forEach((e, i) => {
    since++;
    if (i === 0 || since < every || isNeeded(e, events[i + 1])) return;
    missing.push(e);
    since = 0;
  });
  if (missing.length === 0) return null;
  const out = new Set(missing);
  const kept = events.filter((e) => !out.has(e));
  const used = tuplets.filter((t) =>
    kept.some((e) => e.onset < t.onset + t.duration && endOf(e) > t.onset),
  );
  const phrase = withVoice(p, 0, (v) => ({ ...v, events: kept, tuplets: used }));
  return checkPhrase(phrase).length === 0 ? { phrase, missing } : null;
}

/** Whether the moment behind speaks of this one. */
function isNeeded(e: PhraseEvent, next: PhraseEvent | undefined): boolean {
  if (next === undefined || endOf(e) !== next.onset) return false;
  return (
    next.graces !== undefined ||
    next.notes.some((n) => n.kind === 'pitched' && n.attack !== undefined)
  );
}
