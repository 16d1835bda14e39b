import { valueOfTicks } from '../phrase/note-value';
import { playedIn, shortestIn } from '../phrase/tuplet';
import type { TupletRatio } from '../phrase/tuplet-ratio';
import { sameRatio } from '../phrase/tuplet-ratios';
import { aTuplet, tupletsName } from '../phrase/tuplet-words';
import type { PhraseEvent, Ticks, Tuplet } from '../phrase/types';
import { barOver } from '../phrase/voices';
import { endOf } from '../phrase/walk';
import { cannot, done, type Outcome } from './outcome';
import { rescaled, type Stretch } from './rescale';
import { chosenEvents, voiceOf } from './select';
import type { EditState } from './state';

/**
 * Plays the chosen moments as tuplets, or plain again with null, and moves what comes later as the
 * pen's flow says: it stays where there is room, or keeps its distance. Chosen are moments that
 * follow each other, with the rests between them; a tuplet that would not be whole is refused.
 */
export function retuplet(s: EditState, tuplet: TupletRatio | null): Outcome {
  const events = chosenEvents(s).map((c) => c.event);
  const first = events[0];
  const last = events.at(-1);
  if (first === undefined || last === undefined) return cannot('no note is chosen');
  const chosen = { events, from: first.onset, to: endOf(last) };
  const between = voiceOf(s).events.filter((e) => e.onset >= chosen.from && e.onset < chosen.to);
  if (between.length > events.length) return cannot('there are other notes among the chosen ones');
  return tuplet === null ? plain(s, chosen) : grouped(s, chosen, tuplet);
}

function grouped(s: EditState, chosen: Stretch, ratio: TupletRatio): Outcome {
  const { actual, normal } = ratio;
  const name = aTuplet(ratio);
  const touched = touchedBy(s, chosen);
  if (touched.length > 0) {
    return touched.every((t) => sameRatio(t, ratio))
      ? cannot(`the chosen notes are in ${tupletsName(ratio)} already`)
      : cannot('a chosen note is in another tuplet: give it plain values first');
  }
  const part = partOf(chosen, ratio);
  if (part === null) {
    return cannot(
      `the chosen notes do not fill ${name}: together they must last ${actual} equal values`,
    );
  }
  // What begins or ends between two of its values would fall between two ticks (T1).
  const ends = chosen.events.flatMap((e) => [e.onset, endOf(e)]);
  if (ends.some((t) => playedIn(ratio, t - chosen.from) === null)) {
    const shortest = valueOfTicks(shortestIn(ratio))?.value;
    return cannot(`a chosen note is too short for ${name}, whose shortest value is a ${shortest}`);
  }
  const scale = (t: Ticks) => chosen.from + ((t - chosen.from) * normal) / actual;
  const groups: Tuplet[] = [];
  for (let t = chosen.from; t < chosen.to; t += part * actual) {
    groups.push({ onset: scale(t), duration: part * normal, ...ratio });
  }
  const across = groups.some((t) => t.onset + t.duration > barOver(s.phrase, t.onset).end);
  if (across) return cannot(`${name} would reach over a bar line`);
  const count = groups.length === 1 ? name : `${groups.length} ${tupletsName(ratio)}`;
  return done(rescaled(s, chosen, scale, { gone: [], come: groups }), `in ${count}`);
}

/**
 * Ticks of the value a tuplet of the chosen moments counts, as they are now: the shortest of which
 * every tuplet begins with a note and holds two at least. Null where none makes them whole.
 */
function partOf({ events, from, to }: Stretch, ratio: TupletRatio): Ticks | null {
  const { actual } = ratio;
  if (events.length < 2) return null;
  for (let part = shortestIn(ratio); part * actual <= to - from; part *= 2) {
    const whole = part * actual;
    if ((to - from) % whole !== 0) continue;
    const starts = Array.from({ length: (to - from) / whole }, (_, i) => from + i * whole);
    const full = starts.every((t) => {
      const inside = events.filter((e) => e.onset >= t && e.onset < t + whole);
      // Of an even number, half as many notes would do where none begins or ends between two of those.
      const divides = inside.some((e) =>
        [e.onset, endOf(e)].some((x) => ((x - t) / part) % 2 !== 0),
      );
      return inside.length >= 2 && inside[0]!.onset === t && (actual % 2 !== 0 || divides);
    });
    if (full) return part;
  }
  return null;
}

function plain(s: EditState, chosen: Stretch): Outcome {
  const touched = touchedBy(s, chosen);
  const first = touched[0];
  if (first === undefined) return cannot('the chosen notes have plain values already');
  const inside = voiceOf(s).events.filter((e) => touched.some((t) => overlaps(e, t)));
  const whole = inside.every((e) => chosen.events.includes(e));
  const alike = touched.every((t) => sameRatio(t, first));
  const ends = chosen.events.every((e) =>
    touched.some((t) => e.onset >= t.onset && endOf(e) <= t.onset + t.duration),
  );
  if (!whole || !ends) return cannot('whole tuplets and nothing else must be chosen');
  if (!alike) return cannot('tuplets of one kind must be chosen');
  const joined = touched.every((t, i) => {
    const before = touched[i - 1];
    return before === undefined || before.onset + before.duration === t.onset;
  });
  if (!joined) return cannot('the chosen tuplets must follow each other');
  const from = first.onset;
  const { onset, duration } = touched.at(-1)!;
  const scale = (t: Ticks) => from + ((t - from) * first.actual) / first.normal;
  const stretch = { events: chosen.events, from, to: onset + duration };
  return done(rescaled(s, stretch, scale, { gone: touched, come: [] }), 'plain values');
}

function touchedBy(s: EditState, { events }: Stretch): readonly Tuplet[] {
  return voiceOf(s).tuplets.filter((t) => events.some((e) => overlaps(e, t)));
}

function overlaps(e: PhraseEvent, t: Tuplet): boolean {
  return e.onset < t.onset + t.duration && endOf(e) > t.onset;
}
