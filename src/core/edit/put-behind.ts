import { barSpans, fullLength, meterTicks } from '../phrase/time';
import type { ChordSymbol, Phrase, Ticks, Voice } from '../phrase/types';
import { endAt, withEvents } from '../phrase/voices';
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
 * long as the clip sounds, at most to the end of the bar. The lane stays as it is.
 * @param clip Begins with its first note.
 * @param bar its number; the pickup is bar 0.
 */
export function putInBar(p: Phrase, clip: Phrase, bar: number): Result<Phrase> {
  const span = barSpans(p).find((b) => b.number === bar);
  if (span === undefined) return fail({ message: `there is no bar ${bar}` });
  const room = bar === 0 ? p.pickup : meterTicks(span.bar.meter);
  const pasted = pasteAt(p, endedBy(clip, room), span.start);
  return pasted.ok ? checked(pasted.value) : pasted;
}

/** A clip without what lies behind a tick of it. */
function endedBy(clip: Phrase, tick: Ticks): Phrase {
  const cut = (events: Voice['events']) =>
    events.filter((e) => e.onset < tick).map((e) => endAt(e, tick));
  return clip.voices.reduce<Phrase>((c, _, i) => withEvents(c, i === 0 ? 0 : 1, cut), clip);
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
