import type { Phrase, PhraseEvent } from '../phrase/types';
import type { MomentTechnique } from '../technique/fields';
import { techniqueOf } from '../technique/table';
import { valueOfTechnique } from '../technique/value';
import type { Findings } from './findings';
import type { Pointer } from './place';

type Report = (field: string, message: string, fix: string) => void;
type Check = (e: PhraseEvent, report: Report, p: Phrase) => void;

/**
 * What each technique of a moment asks; null where any moment may have it. Graces are looked at note
 * by note, and what cannot go with a note that rings on is said of that note.
 */
const CHECKS: Readonly<Record<MomentTechnique, Check | null>> = {
  stroke: checkStroke,
  strum: checkStrum,
  rake: checkRake,
  graces: null,
  palmMute: null,
  staccato: null,
  accent: null,
  tenuto: null,
  tremolo: null,
};

const LIST = Object.values(CHECKS).filter((c) => c !== null);

/** How an event is struck as a whole. */
export function checkStriking(p: Phrase, e: PhraseEvent, pointer: Pointer, out: Findings): void {
  const report: Report = (field, message, fix) => {
    out.add({ pointer: `${pointer()}/${field}`, message, fix, onset: e.onset });
  };
  checkRinging(e, report);
  for (const check of LIST) check(e, report, p);
}

function checkStroke(e: PhraseEvent, report: Report): void {
  if (e.stroke === undefined) return;
  for (const c of techniqueOf('stroke').conflicts ?? []) {
    if (valueOfTechnique(e, c.with) !== undefined) report('stroke', c.message, c.fix);
  }
  if (!isPlucked(e)) reportUnplucked('stroke', report);
}

function checkStrum(e: PhraseEvent, report: Report): void {
  if (e.strum === undefined) return;
  if (e.notes.length < 2) {
    report('strum', 'one note cannot be strummed', 'Use a pick stroke, or add notes.');
  }
  if (!isPlucked(e) && e.stroke === undefined) reportUnplucked('strum', report);
}

function isPlucked(e: PhraseEvent): boolean {
  return e.notes.some(
    (n) => n.kind === 'dead' || n.attack === undefined || n.attack === 'slide-plucked',
  );
}

function reportUnplucked(field: string, report: Report): void {
  report(
    field,
    'no note of the event is plucked, so the pick has no stroke here',
    'Remove the stroke, or pluck a note.',
  );
}

function checkRinging(e: PhraseEvent, report: Report): void {
  const rings = e.notes.findIndex((n) => n.kind === 'pitched' && n.letRing === true);
  if (rings < 0) return;
  const conflict = techniqueOf('letRing').conflicts?.find(
    (c) => valueOfTechnique(e, c.with) !== undefined,
  );
  if (conflict !== undefined) report(`notes/${rings}/letRing`, conflict.message, conflict.fix);
}

function checkRake(e: PhraseEvent, report: Report, p: Phrase): void {
  const { rake } = e;
  if (rake === undefined) return;
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
