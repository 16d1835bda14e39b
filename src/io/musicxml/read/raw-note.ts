import { fail, ok, type Result } from '../../../core/result';
import type { Interval } from '../../../core/theory/interval';
import { attribute, child, childrenOf, problemAt, type XmlElement } from '../xml/parse';
import type { ImportLog } from './log';
import { isQuarterUp, readPitch } from './pitch';
import type { RawNote } from './raw';

/**
 * One `<note>` as far as it stands for itself: pitch and ties; null for a rest.
 * @param sounding From what is written to what sounds on its staff.
 */
export function readRawNote(
  e: XmlElement,
  sounding: Interval,
  log: ImportLog,
): Result<RawNote | null> {
  const ties = [
    ...childrenOf(e, 'tie'),
    ...childrenOf(e, 'notations').flatMap((n) => childrenOf(n, 'tied')),
  ].map((t) => attribute(t, 'type'));
  const tie = {
    tieStart: ties.includes('start') || ties.includes('continue'),
    tieStop: ties.includes('stop') || ties.includes('continue'),
  };
  const pitch = child(e, 'pitch');
  if (pitch !== undefined) {
    const r = readPitch(pitch, sounding, log);
    return r.ok ? ok({ elements: [e], pitch: r.value, quarterUp: isQuarterUp(pitch), ...tie }) : r;
  }
  if (child(e, 'unpitched') !== undefined)
    return ok({ elements: [e], pitch: null, quarterUp: false, ...tie });
  if (child(e, 'rest') !== undefined) return ok(null);
  return fail(
    problemAt(e, 'a note has no pitch, and is no rest', 'Correct the note, or export it again.'),
  );
}
