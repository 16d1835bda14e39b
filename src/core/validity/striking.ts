import type { Phrase, PhraseEvent } from '../phrase/types';
import type { Findings } from './findings';
import type { Pointer } from './place';

/** How an event is struck as a whole. */
export function checkStriking(p: Phrase, e: PhraseEvent, pointer: Pointer, out: Findings): void {
  const report = (field: string, message: string, fix: string) => {
    out.add({ pointer: `${pointer()}/${field}`, message, fix, onset: e.onset });
  };
  const plucked = e.notes.some(
    (n) => n.kind === 'dead' || n.attack === undefined || n.attack === 'slide-plucked',
  );
  if (e.strum !== undefined && e.stroke !== undefined) {
    report('stroke', 'a strum has a pick stroke of its own', 'Keep the strum or the stroke.');
  }
  if (e.strum !== undefined && e.notes.length < 2) {
    report('strum', 'one note cannot be strummed', 'Use a pick stroke, or add notes.');
  }
  if (!plucked && (e.stroke ?? e.strum) !== undefined) {
    report(
      e.stroke === undefined ? 'strum' : 'stroke',
      'no note of the event is plucked, so the pick has no stroke here',
      'Remove the stroke, or pluck a note.',
    );
  }
  const rings = e.notes.findIndex((n) => n.kind === 'pitched' && n.letRing === true);
  if (rings >= 0 && (e.staccato === true || e.palmMute === true)) {
    report(
      `notes/${rings}/letRing`,
      `a note cannot ring on and be ${e.palmMute === true ? 'muted by the palm' : 'cut short'}`,
      'Remove one of the two.',
    );
  }
  if (e.rake !== undefined) checkRake(p, e, e.rake, report);
}

function checkRake(
  p: Phrase,
  e: PhraseEvent,
  rake: readonly number[],
  report: (field: string, message: string, fix: string) => void,
): void {
  const strings = p.instrument.tuning.length;
  const missing = rake.findIndex((s) => !(s >= 1 && s <= strings));
  if (missing >= 0) {
    report(
      `rake/${missing}`,
      `there is no string ${rake[missing]}`,
      `The instrument has strings 1 to ${strings}.`,
    );
    return;
  }
  const own = new Set(e.notes.map((n) => n.string));
  const struck = rake.findIndex((s) => own.has(s));
  if (struck >= 0) {
    report(
      `rake/${struck}`,
      `string ${rake[struck]} is raked muted and struck at once`,
      'Take it out of the rake.',
    );
    return;
  }
  const lowest = Math.max(...own);
  const highest = Math.min(...own);
  const towardsFirst = rake.every((s, i) => s > lowest && (i === 0 || s < rake[i - 1]!));
  const towardsLast = rake.every((s, i) => s < highest && (i === 0 || s > rake[i - 1]!));
  if (!towardsFirst && !towardsLast) {
    report(
      'rake',
      'the rake does not run in one direction up to its note',
      'Name the strings in the order struck, all on one side of the notes.',
    );
  }
}
