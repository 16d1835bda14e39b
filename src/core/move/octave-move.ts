import type { Phrase } from '../phrase/types';
import { fail, ok, type Result } from '../result';
import { UNISON } from '../theory/interval';
import { analyse } from '../understand/analyse';
import { fitHand } from './fit';
import { handTask } from './hand';
import { laneOf } from './lane';
import { type MovePlan, type NotePlan, shiftPlan } from './plan';
import { makeReport } from './report';
import type { HandWay, Moved } from './request';
import { settle } from './settle';

/**
 * The same phrase over the same chords whole octaves higher or lower (M2): nothing but the octave
 * changes, so a place that cannot be played there is refused rather than answered in another octave.
 * @param octaves Up is positive; not 0.
 */
export function moveOctaves(p: Phrase, octaves: number, hand: HandWay = 'shape'): Result<Moved> {
  const before = analyse(p);
  const notes = before.readings.map(
    (reading): NotePlan =>
      shiftPlan(
        {
          reading,
          chord: reading.owner === null ? undefined : reading.owner.chord,
          segment: 0,
          start: reading.start.pitch,
          target: reading.heard === reading.start ? null : reading.heard.pitch,
          upper: reading.note.trill?.upper ?? null,
          adaptations: [],
        },
        octaves,
      ),
  );
  const plan: MovePlan = {
    segments: [{ index: 0, from: '', to: '', interval: UNISON }],
    notes,
    byId: new Map(notes.map((n) => [n.reading.note.id, n])),
    general: [],
  };
  const fit = fitHand(handTask(p, p, notes), hand, 12 * octaves, false);
  if (fit === null) {
    const where = octaves > 0 ? 'higher' : 'lower';
    return fail({
      message: `the phrase does not fit on ${p.instrument.name} that much ${where}`,
      fix: 'Choose the other direction.',
    });
  }
  const settled = settle(p, before, laneOf(p), fit.placed.phrase);
  const report = makeReport({
    before,
    result: settled.phrase,
    plan,
    fit,
    way: 'real',
    shifts: [octaves],
    suggestions: [],
    extra: settled.said,
  });
  return ok({ phrase: settled.phrase, report });
}
