import type { FingeredView } from '../../../core/neck/as-fingered';
import {
  accidentalsOf,
  type LastAlters,
  type ShownAccidental,
} from '../../../core/phrase/accidentals';
import type { Bar, Key, Mark, Meter, Phrase, PhraseEvent, Ticks } from '../../../core/phrase/types';
import type { WrittenBar, WrittenItem } from '../../../core/phrase/written';
import { signatureFifths } from '../../../core/theory/key';
import type { Pitch, PitchClass } from '../../../core/theory/pitch';
import type { StaffKind } from '../misc';
import { el, group, leaf, type XmlNode } from '../xml/format';
import { firstAttributes, meterAttributes } from './attributes';
import { markNode, palmMuteStart, palmMuteStop, tempoNode } from './direction';
import { harmonyNode } from './harmony';
import { accidentalKey, eventNodes, type NoteContext, restNode, slideInStarts } from './note';
import { eventSpot, graceSpot, palmMuteRuns, type Spot, slideInSpot } from './spanners';

/** What stays the same from bar to bar. */
export interface ScoreContext {
  readonly phrase: Phrase;
  readonly staves: readonly StaffKind[];
  /** Null where the pitches are written as they sound. */
  readonly view: FingeredView | null;
  /** The key as it is written. */
  readonly key: Key;
  /** What all notes share; staff and voice are filled in. */
  readonly note: Omit<
    NoteContext,
    'staff' | 'staffNumber' | 'voice' | 'voiceNumber' | 'bare' | 'stem' | 'accidentalAt'
  >;
}

/** Why each written pitch of a bar shows an accidental, by `accidentalKey`; absent where it shows none. */
export type BarAccidentals = ReadonlyMap<string, ShownAccidental>;

/**
 * One `<measure>`; the pickup is number 0 and implicit.
 * @param accidentals Those of the bar, from `accidentalsOfBars`.
 */
export function measureNode(
  c: ScoreContext,
  bars: readonly WrittenBar[],
  index: number,
  accidentals: BarAccidentals,
): XmlNode {
  const bar = bars[index]!;
  const { span } = bar;
  const before = bars[index - 1];
  const meterChanges = before !== undefined && !sameMeter(before.span.bar.meter, span.bar.meter);
  return el(
    'measure',
    { number: span.number, implicit: span.number === 0 ? 'yes' : undefined },
    before === undefined
      ? firstAttributes(c.phrase.instrument, c.key, span.bar.meter, c.staves, c.view)
      : null,
    meterChanges ? meterAttributes(span.bar.meter) : null,
    leftBarline(span.bar, before?.span.bar),
    before === undefined ? tempoNode(c.phrase.tempo, c.phrase.feel, staffNumber(c, 0)) : null,
    streams(c, bar, accidentals),
    rightBarline(span.bar, bars[index + 1]?.span.bar, index === bars.length - 1),
  );
}

function sameMeter(a: Meter, b: Meter): boolean {
  return a.beats === b.beats && a.beatType === b.beatType;
}

function staffNumber(c: ScoreContext, index: number): number | null {
  return c.staves.length === 1 ? null : index + 1;
}

/** The voices of each staff one after the other, with a `<backup>` between them. */
function streams(c: ScoreContext, bar: WrittenBar, accidentals: BarAccidentals): XmlNode[] {
  const length = bar.span.end - bar.span.start;
  const backup = group('backup', leaf('duration', length));
  const out: XmlNode[] = [];
  c.staves.forEach((staff, s) => {
    bar.voices.forEach((items, voice) => {
      if (s > 0 || voice > 0) out.push(backup);
      const note: NoteContext = {
        ...c.note,
        staff,
        staffNumber: staffNumber(c, s),
        voice,
        // Four voices are usual for each staff of a part.
        voiceNumber: 4 * s + voice + 1,
        bare: staff === 'tab' && s > 0,
        stem: bar.voices.length === 1 ? null : voice === 0 ? 'up' : 'down',
        accidentalAt: (key) => accidentals.get(key) ?? null,
        lyrics: s === 0 ? c.note.lyrics : () => [],
      };
      out.push(...voiceNodes(c, note, bar, items, s === 0));
    });
  });
  return out;
}

function voiceNodes(
  c: ScoreContext,
  note: NoteContext,
  bar: WrittenBar,
  items: readonly WrittenItem[],
  isFirstStaff: boolean,
): XmlNode[] {
  const { events } = c.phrase.voices[note.voice]!;
  if (note.voice > 0 && items.every((i) => i.event === null)) {
    const duration = leaf('duration', bar.span.end - bar.span.start);
    const staff = note.staffNumber === null ? null : leaf('staff', note.staffNumber);
    return [group('forward', duration, leaf('voice', note.voiceNumber), staff)];
  }
  const runs = isFirstStaff ? palmMuteRuns(events) : [];
  const isLane = isFirstStaff && note.voice === 0;
  return items.flatMap((item, i) => {
    const next = items[i + 1]?.onset ?? bar.span.end;
    const before = isLane ? laneNodes(c, item.onset, next, note.staffNumber) : [];
    if (item.event === null) return [...before, restNode(note, item)];
    const event = item.event;
    const key = (run: readonly [number, number]) => `${note.voice} ${run[0]}`;
    const starts = item.part === 1 ? runs.filter((r) => r[0] === event) : [];
    const stops = item.tieStart ? [] : runs.filter((r) => r[1] === event);
    return [
      ...before,
      ...starts.map((r) => palmMuteStart(note.numbers.start('dashes', key(r)), note.staffNumber)),
      ...eventNodes(note, events[event]!, item),
      ...stops.map((r) => palmMuteStop(note.numbers.stop('dashes', key(r)), note.staffNumber)),
    ];
  });
}

/** Chord symbols, dynamics and words from one tick to before another, each at its own place. */
function laneNodes(c: ScoreContext, from: Ticks, to: Ticks, staff: number | null): XmlNode[] {
  const inside = (x: { readonly onset: Ticks }) => x.onset >= from && x.onset < to;
  const name = (p: PitchClass) => (c.view === null ? p : c.view.pitchClass(p));
  return [
    ...c.phrase.chords
      .filter(inside)
      .map((x) => harmonyNode(x.symbol, { name, offset: x.onset - from, staff })),
    ...c.phrase.marks
      .filter(inside)
      .map((m: Mark) => markNode(m, { offset: m.onset - from, staff })),
  ];
}

/** Which accidentals are shown and why, bar by bar: a bar that left a line altered asks for cautions. */
export function accidentalsOfBars(
  c: ScoreContext,
  bars: readonly WrittenBar[],
): readonly BarAccidentals[] {
  let last: LastAlters = new Map();
  return bars.map((bar) => {
    const pitches = writtenPitches(c, bar);
    const found = accidentalsOf(signatureFifths(c.key), pitches, last);
    last = found.last;
    return new Map(pitches.map((p, i) => [p.key, found.shown[i] ?? null]));
  });
}

/** The pitches of a bar, all voices together in the order they sound. */
function writtenPitches(c: ScoreContext, bar: WrittenBar) {
  const pitches: { key: string; pitch: Pitch; tied: boolean; onset: Ticks }[] = [];
  bar.voices.forEach((items, voice) => {
    for (const item of items) {
      if (item.event === null) continue;
      const event = c.phrase.voices[voice]!.events[item.event]!;
      const { onset, part } = item;
      const add = (spot: Spot, pitch: Pitch) => {
        const key = accidentalKey(spot, part);
        pitches.push({ key, pitch: c.note.written(pitch), tied: part > 1, onset });
      };
      if (part === 1) addGraces(event, voice, item.event, add);
      for (const n of event.notes) {
        if (n.kind === 'pitched') add(eventSpot(voice, item.event, n.string), n.pitch);
      }
    }
  });
  return pitches.sort((a, b) => a.onset - b.onset);
}

function addGraces(
  event: PhraseEvent,
  voice: number,
  index: number,
  add: (spot: Spot, pitch: Pitch) => void,
): void {
  event.graces?.forEach((grace, g) => {
    for (const n of grace.notes) add(graceSpot(voice, index, g, n.string), n.pitch);
  });
  for (const s of slideInStarts(event)) add(slideInSpot(voice, index, s.string), s.pitch);
}

function sameEnding(a: Bar | undefined, b: Bar | undefined): boolean {
  return a?.ending !== undefined && a.ending.join() === b?.ending?.join();
}

/** The start of an ending and of a repeat. */
function leftBarline(bar: Bar, before: Bar | undefined): XmlNode | null {
  const endingStarts = bar.ending !== undefined && !sameEnding(bar, before);
  if (!endingStarts && bar.repeatStart !== true) return null;
  return el(
    'barline',
    { location: 'left' },
    bar.repeatStart === true ? leaf('bar-style', 'heavy-light') : null,
    endingStarts ? el('ending', { number: bar.ending!.join(', '), type: 'start' }) : null,
    bar.repeatStart === true ? el('repeat', { direction: 'forward' }) : null,
  );
}

/** The end of a repeat, of an ending, of the phrase. */
function rightBarline(bar: Bar, next: Bar | undefined, isLast: boolean): XmlNode | null {
  const endingStops = bar.ending !== undefined && !sameEnding(bar, next);
  const repeats = bar.repeatEnd !== undefined;
  if (!endingStops && !repeats && !isLast) return null;
  const type = repeats ? 'stop' : 'discontinue';
  return el(
    'barline',
    { location: 'right' },
    repeats || isLast ? leaf('bar-style', 'light-heavy') : null,
    endingStops ? el('ending', { number: bar.ending!.join(', '), type }) : null,
    repeats ? el('repeat', { direction: 'backward', times: bar.repeatEnd }) : null,
  );
}
