import type { NoteId } from '../phrase/types';
import type { Chord } from '../theory/chord';
import {
  type Degree,
  degreeOf,
  degreeSemitones,
  degreeSign,
  pitchOfDegree,
  sameDegree,
} from '../theory/degree';
import { type Interval, intervalBetween, invertInterval, transpose } from '../theory/interval';
import {
  alterSign,
  letterIndex,
  midiOf,
  mod,
  type Pitch,
  pitchAt,
  pitchOfMidi,
  staffStep,
} from '../theory/pitch';
import type { Analysis } from '../understand/analyse';
import type { NoteReading } from '../understand/reading';
import { inRow, isFlatThirdOrFifth, moveDegree, sameQuality, spellLed, usualName } from './degrees';
import { nameOf } from './lane';
import { adapted, heardOf, type MovePlan, type NotePlan, type Segment } from './plan';
import type { Adaptation, LaneChord, Way } from './request';
import { respelled, rootInterval, type Target, targetIndex } from './target';

/** The plan and the target, whose chord roots may have been respelled on the way (P5). */
export interface Planned {
  readonly plan: MovePlan;
  readonly target: Target;
}

/** One note that could not be written: which chord of the target has to be respelled. */
class NeedsRespelling {
  constructor(readonly laneIndex: number) {}
}

/**
 * New pitches for the ways real, chord and hold (M1, M3, M8), before octaves. Where a note would
 * need more than a double accidental, the root of that chord is respelled with all its notes (P5).
 */
export function planPitches(
  analysis: Analysis,
  target: Target,
  way: Exclude<Way, 'tonal'>,
): Planned {
  let current = target;
  const tried = new Set<number>();
  // Ends: every round puts one more chord among those tried.
  for (;;) {
    const plan = tryPlan(analysis, current, way, tried);
    if (!(plan instanceof NeedsRespelling)) return { plan, target: current };
    tried.add(plan.laneIndex);
    current = respellChord(current, plan.laneIndex);
  }
}

function respellChord(t: Target, index: number): Target {
  const change = t.changes[index];
  if (change === undefined || change.chord === null) {
    throw new RangeError('only a note over a chord asks for a respelling');
  }
  const chord = respelled(change.chord);
  const note = adapted(
    'P5',
    `${nameOf(change.chord)} is respelled ${nameOf(chord)} to avoid more than a double accidental`,
  );
  return {
    ...t,
    changes: t.changes.map((c, i) => (i === index ? { ...c, chord } : c)),
    notes: [...t.notes, note],
  };
}

function tryPlan(
  analysis: Analysis,
  target: Target,
  way: Exclude<Way, 'tonal'>,
  tried: ReadonlySet<number>,
): MovePlan | NeedsRespelling {
  const segments = new SegmentList(target);
  const plans = new Map<NoteId, NotePlan>();
  // From the end: a goal is always later than the note that leads to it, so its plan is ready.
  for (let i = analysis.readings.length - 1; i >= 0; i--) {
    const r = analysis.readings[i]!;
    const plan = planNote(r, { analysis, target, way, segments, plans, tried });
    if (plan instanceof NeedsRespelling) return plan;
    plans.set(r.note.id, plan);
  }
  const notes = analysis.readings.map((r) => plans.get(r.note.id)!);
  return segments.renumbered(notes, target.notes);
}

interface Context {
  readonly analysis: Analysis;
  readonly target: Target;
  readonly way: Exclude<Way, 'tonal'>;
  readonly segments: SegmentList;
  readonly plans: ReadonlyMap<NoteId, NotePlan>;
  /** Chords that were respelled already. */
  readonly tried: ReadonlySet<number>;
}

/**
 * What to do with a pitch that cannot be written: ask for the chord's respelling, or, where that was
 * done or there is no chord, take the plain name and report it (P5).
 */
function unwritable(
  midi: number,
  like: Pitch,
  laneIndex: number,
  tried: ReadonlySet<number>,
  adaptations: Adaptation[],
): Pitch | NeedsRespelling {
  if (laneIndex >= 0 && !tried.has(laneIndex)) return new NeedsRespelling(laneIndex);
  const simple = pitchOfMidi(midi, like.alter < 0 ? 'flat' : 'sharp');
  adaptations.push(
    adapted('P5', `respelled ${nameOfPitch(simple)} to avoid more than a double accidental`),
  );
  return simple;
}

function planNote(r: NoteReading, c: Context): NotePlan | NeedsRespelling {
  const laneIndex = targetIndex(c.target, r);
  const chord = laneIndex < 0 ? undefined : c.target.changes[laneIndex]!.chord;
  const base = { reading: r, chord };
  if (c.way === 'hold') return holdNote(r, chord);
  const source = r.owner?.chord ?? null;
  if (c.way === 'real') {
    const segment =
      source === null ? c.segments.ofKey() : c.segments.of(r, laneIndex, source, chord ?? null);
    const interval = source === null ? c.target.keyInterval : segment.interval;
    return transposeNote(
      base,
      segment.index,
      interval,
      source === null || chord == null ? -1 : laneIndex,
      c.tried,
    );
  }
  if (source === null || chord === undefined || chord === null || r.anchor === 'key') {
    return keepWithKey(r, chord, c);
  }
  return planChordNote(r, laneIndex, source, chord, c);
}

/** Real transposition of every pitch of a note. */
function transposeNote(
  base: Pick<NotePlan, 'reading' | 'chord'>,
  segment: number,
  interval: Interval,
  laneIndex: number,
  tried: ReadonlySet<number>,
): NotePlan | NeedsRespelling {
  const { note } = base.reading;
  const adaptations: Adaptation[] = [];
  return assemble(base, segment, note, adaptations, (p) => {
    const moved = transpose(p, interval);
    return moved ?? unwritable(midiOf(p) + interval.semitones, p, laneIndex, tried, adaptations);
  });
}

/** M5: keeps the key degree. The pitch stays when the chord moves and moves with the key. */
function keepWithKey(
  r: NoteReading,
  chord: LaneChord | undefined,
  c: Context,
): NotePlan | NeedsRespelling {
  const segment = c.target.kind === 'key' ? c.segments.ofKey().index : null;
  const base = { reading: r, chord };
  const interval = c.target.keyInterval;
  const plan = transposeNote(base, 0, interval, -1, c.tried);
  if (plan instanceof NeedsRespelling) return plan;
  const why =
    r.owner?.chord == null
      ? 'there is no chord here, so it keeps its degree of the key'
      : chord === null
        ? 'there is no chord to move to, so it keeps its degree of the key'
        : r.anchorBy === 'user'
          ? 'anchored to the key'
          : 'a drone: the open string stays with the key';
  return { ...plan, segment, adaptations: [...plan.adaptations, adapted('M5', why)] };
}

/** The pitches stay; their names come to D1's usual list over the new chord (M1). */
function holdNote(r: NoteReading, chord: LaneChord | undefined): NotePlan | NeedsRespelling {
  const adaptations: Adaptation[] = [];
  const rename = (p: Pitch): Pitch => {
    if (chord === undefined || chord === null) return p;
    const d = degreeOf(chord.root, p);
    const usual = usualName(chord, d);
    const named = sameDegree(d, usual) ? null : pitchNear(chord, usual, midiOf(p));
    if (named === null || (named.letter === p.letter && named.alter === p.alter)) return p;
    adaptations.push(
      adapted('D1', `written ${nameOfPitch(named)} here: ${degreeSign(usual)} of ${nameOf(chord)}`),
    );
    return named;
  };
  return assemble({ reading: r, chord }, null, r.note, adaptations, rename);
}

/** M3: anchor, row, goal, blue note, interval, in that order. */
function planChordNote(
  r: NoteReading,
  laneIndex: number,
  source: Chord,
  chord: Chord,
  c: Context,
): NotePlan | NeedsRespelling {
  const own = c.segments.of(r, laneIndex, source, chord);
  const adaptations: Adaptation[] = [];
  const alike = sameQuality(source, chord);
  let segment = own;
  const lead =
    r.goal === null || (r.anchorBy === 'user' && r.anchor === 'chord')
      ? null
      : (c.plans.get(r.goal) ?? null);
  const goalReading = r.goal === null ? null : (c.analysis.byId.get(r.goal) ?? null);

  /** One pitch of the note; `next` is what it leads to, before and after, where that is a semitone away. */
  const movePitch = (p: Pitch, next: Led | null): Pitch | NeedsRespelling => {
    const d = degreeOf(source.root, p);
    const root = rootBelow(p, source, d);
    if (next !== null && !next.alike && (next.force || !inRow(source, d))) {
      const led = followGoal(p, next, chord, laneIndex);
      if (led instanceof NeedsRespelling) return led;
      const is = degreeOf(chord.root, led);
      if (!sameDegree(is, d)) {
        const text = `${degreeSign(d)} becomes ${degreeSign(is)}: it keeps its distance from ${nameOfPitch(next.after)}, where it leads`;
        adaptations.push(adapted('M3', text));
      }
      return led;
    }
    const moved = moveDegree(source, chord, d);
    const newRoot = transpose(root, own.interval);
    const pitch = newRoot === null ? null : pitchOfDegree(newRoot, moved.degree);
    if (pitch === null) {
      const midi = midiOf(root) + own.interval.semitones + degreeSemitones(moved.degree);
      return unwritable(midi, p, laneIndex, c.tried, adaptations);
    }
    if (moved.rule === 'interval') {
      adaptations.push(
        adapted(
          'M3',
          `${degreeSign(d)} is outside ${nameOf(source)} and leads nowhere: its interval from the root is kept`,
        ),
      );
    } else if (!sameDegree(moved.degree, d)) {
      adaptations.push(
        adapted(
          'M4',
          `${degreeSign(d)} becomes ${degreeSign(moved.degree)}: that is how ${nameOf(chord)} has it`,
        ),
      );
    } else if (moved.rule === 'kept' && isFlatThirdOrFifth(d)) {
      adaptations.push(adapted('M3', `${degreeSign(d)} is kept as a blue note`));
    }
    return pitch;
  };

  /** A semitone from its goal before, a semitone from it after, on the same side (M3 step 3). */
  const followGoal = (p: Pitch, next: Led, over: Chord, index: number): Pitch | NeedsRespelling => {
    const back = invertInterval(intervalBetween(p, next.before));
    const midi = midiOf(next.after) + back.semitones;
    const byGoal = pitchAt(staffStep(next.after) + back.steps, midi);
    const d = spellLed(
      over,
      midi - midiOf({ ...over.root, octave: 4 }),
      byGoal === null ? null : degreeOf(over.root, byGoal),
    );
    return pitchNear(over, d, midi) ?? unwritable(midi, p, index, c.tried, adaptations);
  };

  const led: Led | null =
    lead !== null && goalReading !== null && leads(r, goalReading)
      ? {
          before: goalReading.heard.pitch,
          after: heardOf(lead),
          force: r.anchorBy === 'user' && r.anchor === 'goal',
          alike: alike && lead.segment === own.index,
        }
      : null;
  if (r.anchorBy === 'user' && r.anchor === 'goal' && led === null) {
    adaptations.push(
      adapted(
        'M5',
        'anchored to its goal, but no goal follows within a quarter: it goes with the chord',
        true,
      ),
    );
  }
  // A bend starts a semitone below its own target as a grace starts below its note.
  const bendsHalf = r.heard !== r.start && midiOf(r.heard.pitch) - midiOf(r.start.pitch) === 1;
  const heard = movePitch(r.heard.pitch, led);
  if (heard instanceof NeedsRespelling) return heard;
  const leadsOn =
    led !== null && (led.force || !inRow(source, degreeOf(source.root, r.heard.pitch)));
  if (leadsOn && lead !== null && lead.segment !== null && lead.segment !== own.index) {
    // The octave is the goal's (M3 step 3), counted from the segment in which the pitch was found.
    segment = c.segments.at(lead.segment);
  }
  const note = r.note;
  let start: Pitch = heard;
  if (r.heard !== r.start) {
    const toTarget: Led | null = bendsHalf
      ? { before: r.heard.pitch, after: heard, force: false, alike }
      : null;
    const moved = movePitch(r.start.pitch, toTarget);
    if (moved instanceof NeedsRespelling) return moved;
    start = moved;
  }
  let upper: Pitch | null = null;
  if (note.trill !== undefined) {
    const moved = movePitch(note.trill.upper, null);
    if (moved instanceof NeedsRespelling) return moved;
    upper = moved;
  }
  return {
    reading: r,
    chord,
    segment: segment.index,
    start,
    target: r.heard === r.start ? null : heard,
    upper,
    adaptations,
  };
}

interface Led {
  readonly before: Pitch;
  readonly after: Pitch;
  /** The user anchored the note to its goal, so the interval is kept whatever it is. */
  readonly force: boolean;
  /** Note and goal go to a chord of their own quality together, where nothing changes at all. */
  readonly alike: boolean;
}

/** Whether a note goes with its goal: the user says so, or it is a semitone away. */
function leads(r: NoteReading, goal: NoteReading): boolean {
  if (r.anchorBy === 'user') return r.anchor === 'goal';
  return Math.abs(midiOf(goal.heard.pitch) - midiOf(r.heard.pitch)) === 1;
}

/** The root of the chord at or below a note, counted by letters: ♭R of C5 lies on the root C5. */
function rootBelow(p: Pitch, chord: Chord, d: Degree): Pitch {
  const letters = mod(letterIndex(p.letter) - letterIndex(chord.root.letter), 7);
  // Where D1 has no name for the spelling, the degree's own number counts the steps instead.
  const steps = letters === d.number - 1 ? letters : d.number - 1;
  const midi = midiOf(p) - degreeSemitones(d);
  const byLetter = { ...chord.root, octave: Math.floor((staffStep(p) - steps) / 7) };
  if (midiOf(byLetter) === midi) return byLetter;
  return { ...chord.root, octave: byLetter.octave + Math.round((midi - midiOf(byLetter)) / 12) };
}

/** The pitch of a degree over a chord that sounds `midi`; null beyond double accidentals. */
export function pitchNear(chord: Chord, d: Degree, midi: number): Pitch | null {
  const named = pitchOfDegree({ ...chord.root, octave: 4 }, d);
  if (named === null) return null;
  return { ...named, octave: named.octave + Math.round((midi - midiOf(named)) / 12) };
}

/** Applies one change of pitch to start, target and trill of a note. */
function assemble(
  base: Pick<NotePlan, 'reading' | 'chord'>,
  segment: number | null,
  note: NoteReading['note'],
  adaptations: readonly Adaptation[],
  move: (p: Pitch) => Pitch | NeedsRespelling,
): NotePlan | NeedsRespelling {
  const start = move(note.pitch);
  if (start instanceof NeedsRespelling) return start;
  let target: Pitch | null = null;
  if (base.reading.heard !== base.reading.start) {
    const moved = move(base.reading.heard.pitch);
    if (moved instanceof NeedsRespelling) return moved;
    target = moved;
  }
  let upper: Pitch | null = null;
  if (note.trill !== undefined) {
    const moved = move(note.trill.upper);
    if (moved instanceof NeedsRespelling) return moved;
    upper = moved;
  }
  return { ...base, segment, start, target, upper, adaptations };
}

export function nameOfPitch(p: Pitch): string {
  return `${p.letter}${alterSign(p.alter)}`;
}

/** Segments as they are met: one for each pair of owner chord and target chord (M7); one in all to a key. */
class SegmentList {
  private readonly found = new Map<string, Segment>();
  private readonly list: Segment[] = [];
  constructor(private readonly target: Target) {}

  /** The segment of a note over a chord. To a key all notes share one octave. */
  of(r: NoteReading, laneIndex: number, from: Chord, to: LaneChord): Segment {
    const interval = rootInterval(this.target, from, to);
    if (this.target.kind === 'key') return { ...this.ofKey(), interval };
    return this.named(`${r.owner?.index}:${laneIndex}`, nameOf(from), nameOf(to), interval);
  }

  ofKey(): Segment {
    return this.named('key', '', '', this.target.keyInterval);
  }

  at(index: number): Segment {
    return this.list[index]!;
  }

  private named(key: string, from: string, to: string, interval: Interval): Segment {
    const known = this.found.get(key);
    if (known !== undefined) return known;
    const made: Segment = { index: this.list.length, from, to, interval };
    this.found.set(key, made);
    this.list.push(made);
    return made;
  }

  /** Segments in the order of the phrase, found from its end. */
  renumbered(notes: readonly NotePlan[], general: readonly Adaptation[]): MovePlan {
    const last = this.list.length - 1;
    const segments = [...this.list].reverse().map((s) => ({ ...s, index: last - s.index }));
    const turned = notes.map((n) => (n.segment === null ? n : { ...n, segment: last - n.segment }));
    return {
      segments,
      notes: turned,
      byId: new Map(turned.map((n) => [n.reading.note.id, n])),
      general,
    };
  }
}
