import { instrumentFrom } from '../phrase/instruments';
import type { Instrument, Phrase } from '../phrase/types';
import { mapNotes, notesOf } from '../phrase/walk';
import { fail, ok, type Result } from '../result';
import { UNISON } from '../theory/interval';
import { midiOf } from '../theory/pitch';
import { type Analysis, analyse } from '../understand/analyse';
import { applySuggestions, withBends } from './adapt';
import { setAnticipations } from './anticipations';
import { startAt } from './beat-move';
import { defaultWay, wayProblem } from './goal';
import type { Octaves } from './hand-task';
import { type LaneChange, storeLane } from './lane';
import { beyondWish, chooseOctaves, otherOctaves, rangeOf, shiftOf } from './octave';
import { sayOctaves } from './octave-words';
import { planPitches } from './pitches';
import { adapted, type MovePlan, type NotePlan, shiftPlan } from './plan';
import type { Adaptation, MoveRequest, SegmentReport, Suggestion, Way } from './request';
import { suggestFor } from './suggest';
import { findTarget, type Toward } from './target';
import { planTonal } from './tonal';

/** The way from the original to where a list of moves has come so far, before any place on the neck. */
export interface Stage {
  /** The original at the beats it has now: strings and frets are still its own. */
  readonly source: Phrase;
  /** The music as it is now, unplaced: its strings and frets mean nothing yet. */
  readonly now: Phrase;
  /** From the original to now, note by note. */
  readonly plan: MovePlan;
  readonly ways: readonly Way[];
  /** How far the segments of every move so far went. */
  readonly segments: readonly SegmentReport[];
  /** How many of them, from the end, are those of `plan`. */
  readonly open: number;
  /** Octaves that the last move could take as well, on top of its own; none where none was chosen. */
  readonly otherOctaves: () => readonly Octaves[];
  readonly asAsked: (octaves: Octaves) => boolean;
  /** Whether M7 took a segment of the last move beyond what was wished, to keep the line together. */
  readonly beyond: readonly boolean[];
  /** What is to be said of the octaves of the last move, once the hand has its place in these. */
  readonly sayOctaves: (octaves: Octaves) => readonly Adaptation[];
  readonly suggestions: readonly Suggestion[];
}

const analysed = new WeakMap<Stage, Analysis>();

/** A phrase that has not moved yet. */
export function firstStage(p: Phrase): Stage {
  const read = analyse(p);
  const notes = read.readings.map(
    (reading): NotePlan => ({
      reading,
      chord: reading.owner === null ? undefined : reading.owner.chord,
      segment: null,
      start: reading.start.pitch,
      target: reading.heard === reading.start ? null : reading.heard.pitch,
      upper: reading.note.trill?.upper ?? null,
      adaptations: [],
    }),
  );
  const stage: Stage = {
    source: p,
    now: p,
    plan: planOf(notes, [], []),
    ways: [],
    segments: [],
    open: 0,
    ...NO_CHOICE,
    suggestions: [],
  };
  analysed.set(stage, read);
  return stage;
}

const NO_CHOICE = { otherOctaves: () => [], asAsked: () => true, beyond: [], sayOctaves: () => [] };

function planOf(
  notes: readonly NotePlan[],
  segments: MovePlan['segments'],
  general: readonly Adaptation[],
): MovePlan {
  return { segments, notes, general, byId: new Map(notes.map((n) => [n.reading.note.id, n])) };
}

/** One move further. Refused where the destination does not go with the way or with the phrase. */
export function nextStage(s: Stage, request: MoveRequest): Result<Stage> {
  const { to } = request;
  const way = request.way ?? defaultWay(to);
  const wrong = wayProblem({ ...request, way }, s.now.key);
  if (wrong !== null) return fail(wrong);
  if (to.kind === 'beat') return toBeat(s, to.at);
  if (to.kind === 'octaves') return ok(byOctaves(s, to.octaves));
  if (to.kind === 'instrument') return onInstrument(s, instrumentFrom(s.now.instrument, to.wish));
  return toward(s, to, way, request);
}

function toBeat(s: Stage, at: Parameters<typeof startAt>[1]): Result<Stage> {
  const source = startAt(s.source, at);
  const now = startAt(s.now, at);
  if (!source.ok) return source;
  if (!now.ok) return now;
  const general: Adaptation[] = [];
  const bars = now.value.bars.length - s.now.bars.length;
  if (bars > 0) {
    general.push(adapted('M2', `${bars} ${bars === 1 ? 'bar' : 'bars'} added at the end`));
  }
  if (now.value.pickup > s.now.pickup) general.push(adapted('M2', 'the pickup is longer'));
  return ok({
    ...s,
    source: source.value,
    now: now.value,
    plan: { ...s.plan, general: [...s.plan.general, ...general] },
    ways: [...s.ways, 'hold'],
  });
}

/** What concerns the phrase as a whole, where another move follows: its octaves are settled. */
function saidSoFar(s: Stage): readonly Adaptation[] {
  return [...s.plan.general, ...s.sayOctaves([])];
}

/** The same over the same chords: no other octave than the one that was asked for will do. */
function byOctaves(s: Stage, octaves: number): Stage {
  const notes = s.plan.notes.map((n) => ({ ...shiftPlan(n, octaves), segment: 0 }));
  const plan = planOf(notes, [{ index: 0, from: '', to: '', interval: UNISON }], saidSoFar(s));
  return {
    ...s,
    now: sounding(s.now, plan),
    plan,
    ways: [...s.ways, 'real'],
    segments: [...s.segments, { from: '', to: '', semitones: 12 * octaves }],
    open: 1,
    ...NO_CHOICE,
  };
}

/**
 * The same pitches on another instrument; where it does not have them, as few whole octaves away as
 * bring the most of them onto it (M7). Strings and frets are those of the original until the end.
 */
function onInstrument(s: Stage, instrument: Instrument): Result<Stage> {
  if (instrument.capo >= instrument.frets) {
    return fail({
      message: `there is no fret ${instrument.capo} for the capo`,
      fix: `Of its ${instrument.frets} frets one at least stays free above the capo: name one up to ${instrument.frets - 1}.`,
    });
  }
  const dead = notesOf(s.now).find(
    ({ note }) => note.kind === 'dead' && note.string > instrument.tuning.length,
  );
  if (dead !== undefined) {
    return fail({
      message: `a dead note is on string ${dead.note.string}, which the instrument does not have`,
      fix: 'Take the dead note out, or choose an instrument with as many strings.',
    });
  }
  const { low, high } = rangeOf(instrument);
  const midis = s.plan.notes.map((n) => midiOf(n.start));
  const outside = (k: number) => midis.filter((m) => m + 12 * k < low || m + 12 * k > high).length;
  const k = [0, -1, 1, -2, 2, -3, 3].reduce((a, b) => (outside(b) < outside(a) ? b : a));
  const moved = byOctaves(s, k);
  const far = Math.abs(k) === 1 ? 'an octave' : `${Math.abs(k)} octaves`;
  const words = `${far} ${k < 0 ? 'lower' : 'higher'}: ${outside(0)} of the notes lie outside what ${instrument.name} has`;
  const general =
    k === 0 ? moved.plan.general : [...moved.plan.general, adapted('M7', words, true)];
  return ok({
    ...moved,
    now: { ...moved.now, instrument },
    plan: { ...moved.plan, general },
    segments: k === 0 ? [...s.segments] : moved.segments,
    open: k === 0 ? 0 : 1,
    otherOctaves: () => (k > 0 ? [[1], [-1]] : [[-1], [1]]),
    asAsked: () => false,
  });
}

function toward(s: Stage, to: Toward, way: Way, request: MoveRequest): Result<Stage> {
  const found = findTarget(s.now, to);
  if (!found.ok) return found;
  const before = analysisOf(s);
  const { plan, target } =
    to.kind === 'steps'
      ? { plan: planTonal(before, found.value, to.steps), target: found.value }
      : planPitches(before, found.value, way === 'tonal' ? 'chord' : way);
  const octaves = octavesOf(s.now, plan, way, request);
  const shifted = plan.notes.map((n) =>
    n.segment === null ? n : shiftPlan(n, octaves.chosen[n.segment] ?? 0),
  );
  const held = { before, changes: target.changes, key: target.key };
  const moved = planOf(shifted, plan.segments, plan.general);
  const hinted = way === 'hold' ? hold(s.now, moved, held, request) : NOT_HELD;
  const last = hinted.plan ?? moved;
  const notes = s.plan.notes.map((n) => joined(n, last.byId.get(n.reading.note.id)!));
  const general = [...saidSoFar(s), ...last.general];
  const framed = hinted.frame ?? s.now;
  return ok({
    ...s,
    now: reach(framed, last, held),
    plan: planOf(notes, plan.segments, general),
    ways: [...s.ways, way],
    segments: [...s.segments, ...octaves.segments],
    open: octaves.segments.length,
    otherOctaves: octaves.others,
    asAsked: octaves.asAsked,
    beyond: octaves.beyond,
    sayOctaves: octaves.say,
    suggestions: hinted.suggestions,
  });
}

/** One stage may be led on to many places: a solo lays a phrase over all bars of a form. */
function analysisOf(s: Stage): Analysis {
  const found = analysed.get(s) ?? analyse(s.now);
  analysed.set(s, found);
  return found;
}

/** A note's plan from the original, gone on by one more move. */
function joined(from: NotePlan, by: NotePlan): NotePlan {
  const { chord, segment, start, target, upper } = by;
  const adaptations =
    from.adaptations.length === 0 ? by.adaptations : [...from.adaptations, ...by.adaptations];
  return { reading: from.reading, chord, segment, start, target, upper, adaptations };
}

interface Held {
  readonly before: Analysis;
  readonly changes: readonly LaneChange[];
  readonly key: Phrase['key'];
}

/** The music as a plan has it, over its new chords; anticipations stay what they were (D2). */
function reach(now: Phrase, plan: MovePlan, { before, changes, key }: Held): Phrase {
  const framed = { ...now, key, chords: storeLane(changes) };
  return setAnticipations(sounding(framed, plan), before, changes);
}

/** The phrase with the pitches of a plan. */
function sounding(p: Phrase, plan: MovePlan): Phrase {
  return mapNotes(p, ({ note }) => {
    const n = note.kind === 'dead' ? undefined : plan.byId.get(note.id);
    if (note.kind === 'dead' || n === undefined) return note;
    const { bend, trill } = note;
    return {
      ...note,
      pitch: n.start,
      ...(bend === undefined || bend.shape === 'curl' || n.target === null
        ? {}
        : { bend: { ...bend, target: n.target } }),
      ...(trill === undefined || n.upper === null ? {} : { trill: { upper: n.upper } }),
    };
  });
}

interface Hinted {
  readonly plan: MovePlan | null;
  readonly frame: Phrase | null;
  readonly suggestions: readonly Suggestion[];
}

const NOT_HELD: Hinted = { plan: null, frame: null, suggestions: [] };

/** What *hold* suggests over the new chords, applied where that was asked for (M1, M6). */
function hold(now: Phrase, plan: MovePlan, held: Held, request: MoveRequest): Hinted {
  const suggestions = analyse(reach(now, plan, held)).readings.flatMap(
    (r) => suggestFor(r, held.key) ?? [],
  );
  if (request.adapt !== true) return { ...NOT_HELD, suggestions };
  return {
    plan: applySuggestions(plan, suggestions),
    frame: withBends(now, suggestions),
    suggestions: suggestions.filter((x) => x.pitch === undefined && x.bendTo === undefined),
  };
}

/** The octaves of a move, how far its segments go with them, and what else would do. */
function octavesOf(p: Phrase, plan: MovePlan, way: Way, request: MoveRequest) {
  const choice = request.octave ?? 'nearest';
  const range = rangeOf(p.instrument);
  if (way === 'hold') {
    const segments: readonly SegmentReport[] = [];
    return { ...UNSAID, segments, others: () => [], asAsked: () => true };
  }
  // By steps every note moves by its own semitones; there is no one number to tell.
  if (way === 'tonal') {
    const up = request.to.kind === 'steps' && request.to.steps > 0;
    const others = () => (up ? [[-1], [1]] : [[1], [-1]]);
    return { ...UNSAID, segments: [], others, asAsked: () => false };
  }
  const chosen = chooseOctaves(plan, choice, range);
  const segments = plan.segments.map(
    (s): SegmentReport => ({ from: s.from, to: s.to, semitones: shiftOf(s, chosen[s.index]!) }),
  );
  const others = () =>
    otherOctaves(plan, choice, range, chosen, MOST_OTHERS).map((list) =>
      list.map((k, i) => k - chosen[i]!),
    );
  const beyond = plan.segments.map((s) => beyondWish(shiftOf(s, chosen[s.index]!), choice));
  const asAsked = (octaves: Octaves) =>
    choice === 'nearest' ||
    plan.segments.every((s) => {
      const k = chosen[s.index]! + (octaves[s.index] ?? 0);
      return beyondWish(shiftOf(s, k), choice) <= Math.max(1, beyond[s.index]!);
    });
  const say = (octaves: Octaves) => sayOctaves(plan, choice, chosen, octaves);
  return { chosen, say, segments, others, asAsked, beyond: beyond.map((n) => n > 0) };
}

const UNSAID = { chosen: [], say: () => [], beyond: [] };

/** Other octaves that are tried on the neck, each with the ways of the hand. */
const MOST_OTHERS = 5;
