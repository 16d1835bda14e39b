import { fullLength } from '../phrase/time';
import type { ChordSymbol, Phrase } from '../phrase/types';
import { fail, ok, type Result } from '../result';
import { checkPhrase } from '../validity/check-phrase';
import { pasteInto } from './clip';
import { startEditing } from './state';

/**
 * The phrase with what a clip holds in bars of its own behind it, under a chord. Nothing that was
 * there changes.
 */
export function putBehind(p: Phrase, clip: Phrase, symbol: ChordSymbol): Result<Phrase> {
  const at = fullLength(p);
  const start = startEditing(p);
  const { selection } = start;
  const there = {
    ...start,
    phrase: { ...p, length: at },
    selection: { ...selection, cursor: { ...selection.cursor, onset: at } },
  };
  const outcome = pasteInto(there, clip);
  if (outcome.kind !== 'done') return fail({ message: outcome.because });
  const { phrase } = outcome.state;
  const sounding = p.chords.at(-1)?.symbol ?? null;
  const lane =
    sounding === symbol
      ? phrase.chords
      : [...phrase.chords.filter((c) => c.onset !== at), { onset: at, symbol }];
  const next = { ...phrase, chords: lane };
  const problems = checkPhrase(next);
  return problems.length === 0 ? ok(next) : fail(...problems);
}
