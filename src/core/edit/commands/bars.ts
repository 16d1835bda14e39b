import { SHORTEST_TICKS } from '../../phrase/note-value';
import { readLength } from '../../phrase/read-length';
import { barSpans, fullLength, meterTicks } from '../../phrase/time';
import { lengthWords } from '../../phrase/time-words';
import type { Bar, Phrase, Ticks, Voice } from '../../phrase/types';
import { barOver } from '../../phrase/voices';
import { endOf } from '../../phrase/walk';
import { defineCommand } from '../command';
import { cannot, done } from '../outcome';
import { moveCursor } from '../select';
import { METERS, type MeterName } from '../setup/choices';
import type { EditState } from '../state';
import { TEMPO_UNIT_NAMES, tempoFor } from '../tempo-for';

/** The place in `bars` of the bar the cursor is in; the pickup counts as the first. */
export function barIndex(s: EditState): number {
  return Math.max(0, barOver(s.phrase, s.selection.cursor.onset).number - 1);
}

/** The places in `bars` of the chosen bars, or of the one the cursor is in; both are included. */
export function chosenBars(s: EditState): { readonly from: number; readonly to: number } {
  const { cursor, corner } = s.selection;
  const at = [cursor, corner ?? cursor].map((c) =>
    Math.max(0, barOver(s.phrase, c.onset).number - 1),
  );
  return { from: Math.min(...at), to: Math.max(...at) };
}

/** Where the bar of a place in `bars` begins. */
export function startOfBar(p: Phrase, index: number): Ticks {
  return p.bars.slice(0, index).reduce((sum, b) => sum + meterTicks(b.meter), p.pickup);
}

/** The phrase with its last bar filled up. */
export function filled(p: Phrase): Phrase {
  return { ...p, length: fullLength(p) };
}

/** Where the phrase ends. */
export const endHere = defineCommand<'here' | 'full bar' | 'last note'>({
  id: 'bar.end',
  group: 'Bars and beats',
  title: 'End the phrase',
  words: 'length last bar trim cut',
  ask: {
    kind: 'choice',
    choices: [
      { value: 'here', title: 'at the cursor' },
      { value: 'full bar', title: 'with its last bar full' },
      { value: 'last note', title: 'with its last note' },
    ],
  },
  apply: (s, where) => {
    const p = s.phrase;
    if (where === 'full bar') {
      if (p.length === fullLength(p)) return cannot('the last bar is full already');
      return done({ ...s, phrase: filled(p) }, 'the last bar is full');
    }
    const heard = Math.max(0, ...p.voices.flatMap((v) => v.events.map(endOf)));
    const tuplets = p.voices.flatMap((v) => v.tuplets);
    // A tuplet that ends with a rest is there to its end.
    const last = Math.max(
      heard,
      ...tuplets.filter((t) => t.onset < heard).map((t) => t.onset + t.duration),
    );
    const end = where === 'here' ? s.selection.cursor.onset : last;
    if (end <= p.pickup) return cannot('the first bar would be empty of time');
    if (where === 'here' && end < heard) return cannot('there are notes after the cursor');
    if (tuplets.some((t) => t.onset < end && t.onset + t.duration > end)) {
      return cannot('it cannot end inside a tuplet');
    }
    if (end === p.length) return cannot('it ends there already');
    const needed = barSpans(filled(p)).filter((b) => b.number > 0 && b.start < end).length;
    const phrase: Phrase = {
      ...p,
      bars: p.bars.slice(0, needed),
      length: end,
      chords: p.chords.filter((c) => c.onset < end),
      marks: p.marks.filter((m) => m.onset < end),
    };
    return done({ ...s, phrase }, 'ends here');
  },
});

/** What a text means as a pickup. */
function pickupRead(text: string): string | null {
  const length = readLength(text);
  if (length === null) return null;
  return length.ticks === 0 ? 'no pickup' : lengthWords(length.ticks);
}

/** Beats before the first bar line. What is there already keeps its distance from that line. */
export const setPickup = defineCommand<string>({
  id: 'bar.pickup',
  group: 'Bars and beats',
  title: 'Set the pickup (0: none)',
  words: 'upbeat anacrusis eighths sixteenths triplets values',
  ask: {
    kind: 'text',
    label: 'the pickup',
    example: '3 eighths, 1/8 or dotted quarter',
    reads: pickupRead,
  },
  apply: (s, text) => {
    const length = readLength(text);
    if (length === null) {
      return cannot(
        'it is no length: write 3 eighths, 1/16, dotted quarter, 2 triplet eighths or 0',
      );
    }
    // A tuplet that is begun with a rest is a whole one (T1).
    const pickup = length.whole;
    if (pickup % SHORTEST_TICKS !== 0) return cannot('a pickup is a whole number of 128ths');
    const by = pickup - s.phrase.pickup;
    const p = s.phrase;
    if (pickup >= meterTicks(p.bars[0]!.meter)) return cannot('a pickup is shorter than its bar');
    if (by === 0) return cannot('the pickup is so long already');
    const early = Math.min(...p.voices.flatMap((v) => v.events.slice(0, 1).map((e) => e.onset)));
    if (by < 0 && early + by < 0) return cannot('there are notes in the pickup');
    const shift = <T extends { readonly onset: Ticks }>(x: T): T => ({ ...x, onset: x.onset + by });
    const voice = (v: Voice): Voice => ({
      events: v.events.map(shift),
      tuplets: v.tuplets.map(shift),
    });
    const [first, second] = p.voices;
    const chords = p.chords.map((c, i) =>
      i === 0 && (c.onset === 0 || c.onset + by < 0) ? { ...c, onset: 0 } : shift(c),
    );
    const phrase: Phrase = {
      ...p,
      pickup,
      length: p.length + by,
      chords,
      marks: p.marks.map((m) => ({ ...m, onset: Math.max(0, m.onset + by) })),
      voices: second === undefined ? [voice(first)] : [voice(first), voice(second)],
    };
    const { cursor } = s.selection;
    const onset =
      by > 0 && early + by > 0 && cursor.onset === 0 ? 0 : Math.max(0, cursor.onset + by);
    const rest = pickup === length.ticks ? '' : '; its tuplet begins with a rest';
    const say = pickup === 0 ? 'no pickup any more' : `a pickup of ${lengthWords(pickup)}${rest}`;
    return done(moveCursor({ ...s, phrase }, { ...cursor, onset }), say);
  },
});

/** Another metre from this bar on: notes stay where they are in time, and bar lines move. */
export const setMeter = defineCommand<MeterName>({
  id: 'bar.meter',
  group: 'Bars and beats',
  title: 'From this bar on, count in',
  words: 'time signature meter metre',
  ask: { kind: 'choice', choices: METERS.map((m) => ({ value: m, title: m })) },
  now: (s) => {
    const { beats, beatType } = s.phrase.bars[barIndex(s)]!.meter;
    return METERS.find((m) => m === `${beats}/${beatType}`);
  },
  apply: (s, text) => {
    const [beats, beatType] = text.split('/').map(Number) as [number, 1 | 2 | 4 | 8 | 16];
    const p = s.phrase;
    const index = barIndex(s);
    const start = startOfBar(p, index);
    const meter = { beats, beatType };
    const old = p.bars[index]!.meter;
    if (old.beats === beats && old.beatType === beatType)
      return cannot(`it is counted in ${text} already`);
    const ticks = meterTicks(meter);
    if (index === 0 && p.pickup >= ticks) return cannot('the pickup would be longer than a bar');
    const kept = p.bars.slice(0, index);
    const rest = p.bars.slice(index);
    if (rest.some((b) => b.repeatStart || b.repeatEnd !== undefined || b.ending !== undefined)) {
      return cannot('repeats stand on these bars: take them off first');
    }
    const heard = Math.max(
      start + 1,
      ...p.voices.flatMap((v) => v.events.map(endOf)),
      // Nothing that stands over the music may fall off its end.
      ...[...p.chords, ...p.marks].map((c) => c.onset + 1),
    );
    const wasFull = p.length === fullLength(p);
    const until = wasFull
      ? Math.max(heard, start + rest.length * Math.min(ticks, meterTicks(old)))
      : p.length;
    const count = Math.max(1, Math.ceil((until - start) / ticks));
    const bars: Bar[] = [...kept, ...Array.from({ length: count }, () => ({ meter }))];
    const length = wasFull ? start + count * ticks : p.length;
    const tempo = index === 0 ? tempoFor(p, old, meter) : p.tempo;
    const counted = tempo === p.tempo ? '' : `, the tempo in ${TEMPO_UNIT_NAMES[tempo.unit]}`;
    return done(
      {
        ...s,
        phrase: {
          ...p,
          bars,
          length,
          tempo,
          chords: p.chords.filter((c) => c.onset < length),
          marks: p.marks.filter((m) => m.onset < length),
        },
      },
      `counted in ${text}${counted}`,
    );
  },
});
