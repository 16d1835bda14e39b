import { mapVoices } from '../phrase/rebuild';
import { barSpans, fullLength, meterTicks, onsetOf, type Position } from '../phrase/time';
import type { Mark, Phrase, PhraseEvent, Ticks, Tuplet } from '../phrase/types';
import { endOf } from '../phrase/walk';
import { fail, ok, type Result } from '../result';

/**
 * Starts a phrase on another beat (M2): its first note comes to lie on `position` and everything
 * struck moves with it; bars, metres and the chord lane stay, so roles are read anew. Bars are added
 * at the end as they are needed, and a position in bar 0 needs no pickup yet: one is made.
 * @returns The phrase; or why not: a tuplet that would cross a bar line, a pickup as long as a bar.
 */
export function startAt(p: Phrase, position: Position): Result<Phrase> {
  const first = Math.min(...p.voices.flatMap((v) => v.events.slice(0, 1).map((e) => e.onset)));
  if (!Number.isFinite(first)) return ok(p);
  const framed = position.bar === 0 ? withPickup(p, position) : ok(p);
  if (!framed.ok) return framed;
  const q = framed.value;
  const grown = q.pickup - p.pickup;
  const to = onsetOf(q, position);
  if (to === null || to < 0) {
    return fail({
      message: 'the phrase has no such bar',
      ...position,
      fix: `Choose a bar from ${q.pickup > 0 ? 0 : 1} to ${q.bars.length}.`,
    });
  }
  return shifted(q, to - (first + grown));
}

/** The phrase with a pickup long enough for a position before bar 1; everything moves along with bar 1. */
function withPickup(p: Phrase, position: Position): Result<Phrase> {
  const bar = p.bars[0]!;
  const full = meterTicks(bar.meter);
  const shell = { pickup: full, bars: p.bars, length: p.length };
  const at = onsetOf(shell, position);
  if (at === null || at <= 0 || at >= full) {
    return fail({
      message: 'a pickup is shorter than a bar',
      ...position,
      fix: 'Choose a beat after the first of bar 0.',
    });
  }
  const wanted = Math.max(p.pickup, full - at);
  return ok(growPickup(p, wanted - p.pickup));
}

function growPickup(p: Phrase, by: Ticks): Phrase {
  if (by === 0) return p;
  const shift = <T extends { readonly onset: Ticks }>(x: T): T => ({ ...x, onset: x.onset + by });
  return {
    ...p,
    pickup: p.pickup + by,
    length: p.length + by,
    chords: p.chords.map((c, i) => (i === 0 && c.onset === 0 ? c : shift(c))),
    voices: mapVoices(p.voices, (v) => ({
      events: v.events.map(shift),
      tuplets: v.tuplets.map(shift),
    })),
    marks: p.marks.map(shift),
  };
}

/** Everything struck moved by ticks; the frame of bars grows at the end and shrinks nowhere. */
function shifted(p: Phrase, by: Ticks): Result<Phrase> {
  if (by === 0) return ok(p);
  const move = <T extends PhraseEvent | Tuplet | Mark>(x: T): T => ({ ...x, onset: x.onset + by });
  const voices = mapVoices(p.voices, (v) => ({
    events: v.events.map(move),
    tuplets: v.tuplets.map(move),
  }));
  const end = Math.max(0, ...voices.flatMap((v) => v.events.map(endOf)));
  let bars = p.bars;
  while (fullLength({ pickup: p.pickup, bars }) < end)
    bars = [...bars, { meter: bars.at(-1)!.meter }];
  const length = bars === p.bars ? Math.max(p.length, end) : fullLength({ pickup: p.pickup, bars });
  const moved: Phrase = {
    ...p,
    bars,
    length,
    voices,
    marks: p.marks.map(move).filter((m) => m.onset >= 0 && m.onset <= length),
  };
  return crossingTuplet(moved) ?? ok(moved);
}

function crossingTuplet(p: Phrase): Result<Phrase> | null {
  const spans = barSpans(p);
  for (const v of p.voices) {
    for (const t of v.tuplets) {
      const bar = spans.find((s) => t.onset >= s.start && t.onset < s.end);
      if (bar === undefined || t.onset + t.duration > bar.end) {
        return fail({
          message: 'a tuplet would cross a bar line',
          bar: bar?.number ?? 0,
          fix: 'Move by whole beats that keep the tuplet inside its bar.',
        });
      }
    }
  }
  return null;
}
