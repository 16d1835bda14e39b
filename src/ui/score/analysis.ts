import type { Phrase } from '../../core/phrase/types';
import { type Analysis, analyse } from '../../core/understand/analyse';

const KNOWN = new WeakMap<Phrase, Analysis>();

/** What every note of a phrase is; read once, however many parts of a page ask for it. */
export function analysisOf(p: Phrase): Analysis {
  const known = KNOWN.get(p);
  if (known !== undefined) return known;
  const made = analyse(p);
  KNOWN.set(p, made);
  return made;
}
