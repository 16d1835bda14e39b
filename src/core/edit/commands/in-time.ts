import { SHORTEST_TICKS } from '../../phrase/note-value';
import { canFill, isPlaceIn } from '../../phrase/tuplet';
import type { Ticks, Voice } from '../../phrase/types';
import { dropSilentTuplets, reachTo, withVoice } from '../../phrase/voices';
import { endOf } from '../../phrase/walk';
import { defineCommand } from '../command';
import { cannot, done, type Outcome } from '../outcome';
import { rescaled } from '../rescale';
import { chosenEvents, penTicks, voiceOf } from '../select';
import type { EditState } from '../state';

/** Later or earlier by what the next note would take. */
export const inTime = defineCommand<'later' | 'earlier'>({
  id: 'move.time',
  group: 'Moving what is chosen',
  title: 'Move it one value',
  words: 'shift beat rhythm nudge',
  ask: {
    kind: 'choice',
    choices: [
      { value: 'later', title: 'later' },
      { value: 'earlier', title: 'earlier' },
    ],
  },
  keys: [
    { key: '>', value: 'later' },
    { key: '<', value: 'earlier' },
  ],
  apply: (s, way) =>
    shiftChosen(s, (way === 'later' ? 1 : -1) * penTicks({ ...s.pen, tuplet: null })),
});

function shiftChosen(s: EditState, by: Ticks): Outcome {
  const chosen = chosenEvents(s);
  if (chosen.length === 0) return cannot('no note is chosen');
  const v = voiceOf(s);
  const indexes = new Set(chosen.map((c) => c.index));
  const moving = chosen.map((c) => ({ ...c.event, onset: c.event.onset + by }));
  const staying = v.events.filter((_, i) => !indexes.has(i));
  const tuplets = v.tuplets.filter((t) => chosen.some((c) => overlaps(c.event, t)));
  if (tuplets.some((t) => staying.some((e) => overlaps(e, t)))) {
    return cannot('a tuplet is moved as a whole');
  }
  const goals = [...moving, ...tuplets.map((t) => ({ ...t, onset: t.onset + by }))];
  if (goals.some((g) => g.onset < 0)) return cannot('it would begin before the phrase');
  const end = Math.max(...goals.map((g) => g.onset + g.duration));
  const others = [...staying, ...v.tuplets.filter((t) => !tuplets.includes(t))];
  if (others.some((e) => goals.some((m) => overlaps(e, m)))) {
    return cannot('there are other notes in the way');
  }
  const phrase = withVoice(reachTo(s.phrase, end), s.selection.voice, (w) => ({
    events: [...staying, ...moving].sort((a, b) => a.onset - b.onset),
    tuplets: w.tuplets
      .map((t) => (tuplets.includes(t) ? { ...t, onset: t.onset + by } : t))
      .sort((a, b) => a.onset - b.onset),
  }));
  const shift = <C extends { readonly onset: Ticks } | null>(c: C): C =>
    c === null ? c : { ...c, onset: c.onset + by };
  const { selection } = s;
  return done(
    {
      ...s,
      phrase: dropSilentTuplets(phrase, selection.voice),
      selection: { ...selection, cursor: shift(selection.cursor), corner: shift(selection.corner) },
    },
    by > 0 ? 'later' : 'earlier',
  );
}

function overlaps(a: Span, b: Span): boolean {
  return a.onset < b.onset + b.duration && a.onset + a.duration > b.onset;
}

interface Span {
  readonly onset: Ticks;
  readonly duration: Ticks;
}

/** What is chosen, doubled or halved in time with the rests in it; what follows moves along. */
export const stretch = defineCommand<'double' | 'halve'>({
  id: 'move.stretch',
  group: 'Length',
  title: 'Play what is chosen',
  words: 'double halve durations twice as slow fast augmentation diminution',
  ask: {
    kind: 'choice',
    choices: [
      { value: 'double', title: 'twice as slow' },
      { value: 'halve', title: 'twice as fast' },
    ],
  },
  apply: (s, way) => {
    const events = chosenEvents(s).map((c) => c.event);
    const first = events[0];
    const last = events.at(-1);
    if (first === undefined || last === undefined) return cannot('no note is chosen');
    const v = voiceOf(s);
    const [begins, ends] = [first.onset, endOf(last)];
    const tuplets = v.tuplets.filter((t) => t.onset < ends && t.onset + t.duration > begins);
    // A tuplet is stretched whole, with a rest that it begins or ends with.
    const from = Math.min(begins, ...tuplets.map((t) => t.onset));
    const to = Math.max(ends, ...tuplets.map((t) => t.onset + t.duration));
    const inside = v.events.filter((e) => e.onset < to && endOf(e) > from);
    if (inside.length > events.length) {
      return cannot(
        tuplets.length > 0
          ? 'a tuplet must be chosen whole'
          : 'there are other notes among the chosen ones',
      );
    }
    const factor = way === 'double' ? 2 : 0.5;
    const scale = (t: Ticks) => from + (t - from) * factor;
    const come = tuplets.map((t) => ({
      ...t,
      onset: scale(t.onset),
      duration: t.duration * factor,
    }));
    const next = rescaled(s, { events, from, to }, scale, { gone: tuplets, come }, 'push');
    if (way === 'halve' && !isOnGrid(voiceOf(next))) {
      return cannot('it would need values shorter than a 128th');
    }
    return done(next, way === 'double' ? 'twice as slow' : 'twice as fast');
  },
});

/** Whether every moment of a voice can be written with values down to the 128th (T1). */
function isOnGrid({ events, tuplets }: Voice): boolean {
  const fits = (t: Ticks) => {
    const tuplet = tuplets.find((u) => u.onset < t && t < u.onset + u.duration);
    return tuplet === undefined ? t % SHORTEST_TICKS === 0 : isPlaceIn(tuplet, t);
  };
  return (
    tuplets.every((t) => fits(t.onset) && canFill(t, t.duration)) &&
    events.every((e) => fits(e.onset) && fits(endOf(e)))
  );
}
