import { fullLength, isCompound } from '../phrase/time';
import type { Feel, Phrase, PhraseEvent, Ticks, Tuplet } from '../phrase/types';
import type { Draft, Offer } from './draft';
import { beatAt, type Work } from './line';
import { lasting, NewNotes, withLine } from './notes';

const EIGHTH: Ticks = 5_040;
/** Shorter notes than a 16th come of no variation. */
const SHORTEST: Ticks = 2_520;

/** Everything an eighth or a beat later or earlier, over the same chords and bars. */
export function displace(work: Work): Offer {
  const { phrase, line } = work;
  const [first] = line;
  if (first === undefined) return 'there is nothing to be moved';
  const beat = beatAt(phrase, first.event.onset);
  const ways: readonly (readonly [Ticks, string, number])[] = [
    [EIGHTH, 'an eighth later', 3],
    [-EIGHTH, 'an eighth earlier', 2.5],
    [beat, 'a beat later', 2],
    [-beat, 'a beat earlier', 1.5],
  ];
  const drafts = ways.flatMap(([by, words, worth]): Draft[] => {
    const shifted = shift(phrase, by);
    if (shifted === null) return [];
    return [{ kind: 'as it lies', phrase: shifted, worth, reason: `the same line ${words}` }];
  });
  return drafts.length === 0 ? 'there is no room before or behind it' : drafts;
}

/** The melody moved in time; its last note is cut at the end. Null where it does not fit. */
function shift(p: Phrase, by: Ticks): Phrase | null {
  const { events, tuplets } = p.voices[0];
  const first = events[0];
  const last = events.at(-1);
  if (first === undefined || last === undefined || first.onset + by < 0) return null;
  if (last.onset + by + Math.min(EIGHTH, last.duration) > p.length) return null;
  const moved = events.map((e): PhraseEvent => {
    const onset = e.onset + by;
    return { ...e, onset, duration: Math.min(e.duration, p.length - onset) };
  });
  const along = tuplets.map((t): Tuplet => ({ ...t, onset: t.onset + by }));
  return withLine(p, moved, along);
}

/** The stretches over one chord each; all of it where there is no lane. The pickup is left alone. */
function stretches({ phrase, analysis }: Work): readonly (readonly [Ticks, Ticks])[] {
  const spans = analysis.spans.map((s) => [Math.max(s.onset, phrase.pickup), s.end] as const);
  return spans.length === 0 ? [[phrase.pickup, phrase.length]] : spans.filter(([a, b]) => a < b);
}

const hasRepeats = (p: Phrase) =>
  p.bars.some((b) => b.repeatStart === true || b.repeatEnd !== undefined || b.ending !== undefined);

/** Twice as slow: what is played in the first half over each chord fills all of it. */
export function augment(work: Work): Offer {
  const { phrase } = work;
  const { events, tuplets } = phrase.voices[0];
  if (tuplets.length > 0) return 'tuplets are not stretched';
  const pickup = events.filter((e) => e.onset < phrase.pickup);
  const slow = (e: PhraseEvent, from: Ticks, to: Ticks): PhraseEvent => {
    const onset = from + 2 * (e.onset - from);
    return { ...lasting(e, Math.min(2 * e.duration, to - onset)), onset };
  };
  const drafts: Draft[] = [];
  const kept = stretches(work).flatMap(([from, to]) =>
    events
      .filter((e) => e.onset >= from && e.onset < from + (to - from) / 2)
      .map((e) => slow(e, from, to)),
  );
  if (kept.length >= 2) {
    drafts.push({
      kind: 'as it lies',
      phrase: withLine(phrase, [...pickup, ...kept]),
      worth: 2,
      reason: 'the first half over each chord, twice as slow',
    });
  }
  const oneChord = phrase.chords.length < 2 && phrase.pickup === 0 && phrase.voices.length === 1;
  if (oneChord && !hasRepeats(phrase) && phrase.length === fullLength(phrase)) {
    const length = 2 * phrase.length;
    const wide = { ...phrase, bars: [...phrase.bars, ...phrase.bars], length };
    const all = events.map((e) => slow(e, 0, length));
    drafts.push({
      kind: 'as it lies',
      phrase: withLine(wide, all),
      worth: 2.5,
      reason: 'all of it twice as slow, over twice as many bars',
    });
  }
  return drafts.length === 0 ? 'there is too little over each chord to be stretched' : drafts;
}

/** Twice as fast over each chord, then said once more or silent. */
export function diminish(work: Work): Offer {
  const { phrase } = work;
  const { events, tuplets } = phrase.voices[0];
  if (tuplets.length > 0) return 'tuplets are not pressed together';
  const pickup = events.filter((e) => e.onset < phrase.pickup);
  const inside = stretches(work).map(([from, to]) => ({
    from,
    to,
    events: events.filter((e) => e.onset >= from && e.onset < to),
  }));
  if (events.some((e) => e.duration / 2 < SHORTEST)) return 'it is as fast as a line should be';
  const fast = (e: PhraseEvent, from: Ticks, to: Ticks): PhraseEvent => {
    const onset = from + (e.onset - from) / 2;
    const half = Math.min(e.duration / 2, from + (to - from) / 2 - onset);
    return { ...lasting(e, half), onset };
  };
  const once = inside.flatMap((s) => s.events.map((e) => fast(e, s.from, s.to)));
  const made = new NewNotes(phrase);
  const twice = inside.flatMap((s) => {
    const said = s.events.map((e) => fast(e, s.from, s.to));
    const half = (s.to - s.from) / 2;
    return [...said, ...said.map((e) => again(e, e.onset + half, made))];
  });
  if (once.length < 2) return 'there is too little to be pressed together';
  return [
    {
      kind: 'as it lies',
      phrase: withLine(phrase, [...pickup, ...twice]),
      worth: 2,
      reason: 'twice as fast over each chord, and said twice',
    },
    {
      kind: 'as it lies',
      phrase: withLine(phrase, [...pickup, ...once]),
      worth: 1.5,
      reason: 'twice as fast over each chord, then silence',
    },
  ];
}

/** A moment once more at another time, its notes under ids of their own. */
export function again(e: PhraseEvent, onset: Ticks, made: NewNotes): PhraseEvent {
  const [first, ...more] = e.notes;
  return { ...e, onset, notes: [made.copy(first), ...more.map((n) => made.copy(n))] };
}

/** Straight to shuffle: eighths as the first and last of a triplet; sixteenths where those are the line. */
export function shuffle({ phrase }: Work): Offer {
  if (phrase.feel.kind === 'swing') return 'it is swung already';
  if (phrase.bars.every((b) => isCompound(b.meter)))
    return 'in three to a beat there is nothing to swing';
  const events = phrase.voices.flatMap((v) => v.events);
  const off = (unit: Ticks) => events.filter((e) => e.onset % (2 * unit) === unit).length;
  const units =
    off(EIGHTH / 2) > off(EIGHTH) ? (['16th', 'eighth'] as const) : (['eighth', '16th'] as const);
  const drafts = units
    .filter((unit) => off(unit === 'eighth' ? EIGHTH : EIGHTH / 2) > 0)
    .map((unit, i): Draft => {
      const feel: Feel = { kind: 'swing', unit, first: 2, second: 1 };
      const said = unit === 'eighth' ? 'eighths' : 'sixteenths';
      const reason = `${said} swung 2:1, as it is written`;
      return { kind: 'as it lies', phrase: { ...phrase, feel }, worth: 2 - i, reason };
    });
  return drafts.length === 0 ? 'nothing falls between the beats' : drafts;
}

/** The same without the swing. */
export function straighten({ phrase }: Work): Offer {
  if (phrase.feel.kind === 'straight') return 'it is straight already';
  const feel: Feel = { kind: 'straight' };
  const reason = 'played straight, as it is written';
  return [{ kind: 'as it lies', phrase: { ...phrase, feel }, worth: 1, reason }];
}
