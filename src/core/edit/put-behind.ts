import { barSpans, fullLength } from '../phrase/time';
import type { ChordSymbol, Phrase, Ticks } from '../phrase/types';
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
  const pasted = pasteAt({ ...p, length: at }, clip, at);
  if (!pasted.ok) return pasted;
  const phrase = pasted.value;
  const sounding = p.chords.at(-1)?.symbol ?? null;
  const lane =
    sounding === symbol
      ? phrase.chords
      : [...phrase.chords.filter((c) => c.onset !== at), { onset: at, symbol }];
  return checked({ ...phrase, chords: lane });
}

/**
 * The phrase with what a clip holds at the beginning of a bar, in the place of what is there for as
 * long as the clip sounds. The lane stays as it is.
 * @param bar its number; the pickup is bar 0.
 */
export function putInBar(p: Phrase, clip: Phrase, bar: number): Result<Phrase> {
  const span = barSpans(p).find((b) => b.number === bar);
  if (span === undefined) return fail({ message: `there is no bar ${bar}` });
  const pasted = pasteAt(p, clip, span.start);
  return pasted.ok ? checked(pasted.value) : pasted;
}

function pasteAt(p: Phrase, clip: Phrase, onset: Ticks): Result<Phrase> {
  const start = startEditing(p);
  const { selection } = start;
  const there = {
    ...start,
    selection: { ...selection, cursor: { ...selection.cursor, onset } },
  };
  const outcome = pasteInto(there, clip);
  return outcome.kind === 'done' ? ok(outcome.state.phrase) : fail({ message: outcome.because });
}

function checked(p: Phrase): Result<Phrase> {
  const problems = checkPhrase(p);
  return problems.length === 0 ? ok(p) : fail(...problems);
}
