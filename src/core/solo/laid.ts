import { laneOf } from '../move/lane';
import { movePhraseOn } from '../move/move';
import type { LaneChord, Moved, MoveRequest } from '../move/request';
import { fingerprintOfData } from '../phrase/fingerprint';
import { barSpans, beatTicks, meterTicks } from '../phrase/time';
import type { Grace, Note, Phrase, PhraseEvent, Tempo, Ticks, Voice } from '../phrase/types';
import { bendSemitones, endOf } from '../phrase/walk';
import { ok, type Result } from '../result';
import type { PitchClass } from '../theory/pitch';
import { midiOf } from '../theory/pitch';

/** The chords of each bar, from bar 1 on. */
export type LaneBars = readonly (readonly LaneChord[])[];

/** The moves that lay a phrase over bars of a form: into its key, then by roles over its chords (M2, M4). */
export function requestsTo(
  p: Phrase,
  tonic: PitchClass,
  bars: LaneBars,
): readonly [MoveRequest, MoveRequest] {
  return [
    { to: { kind: 'key', key: { tonic, mode: p.key.mode } } },
    { to: { kind: 'lane', bars }, way: 'chord' },
  ];
}

/**
 * A phrase moved for a place in a whole, as the hand finds it at the tempo of the whole: what was written for a slow
 * tune may lie elsewhere in a fast one. The phrase's own tempo stays written. It stays in the octaves that its moves
 * choose, by which joins are weighed, and goes to others only where it cannot be played in these.
 */
export function moveAt(tempo: Tempo, p: Phrase, requests: readonly MoveRequest[]): Result<Moved> {
  const kept = movedAt(tempo, p, requests, 'kept');
  if (kept.ok && kept.value.report.unplayable.length === 0) return kept;
  return movedAt(tempo, p, requests, 'free');
}

/** @param octaves 'free': its shape goes before the octaves that its moves choose, as in a move of the phrase alone. */
export function movedAt(
  tempo: Tempo,
  p: Phrase,
  requests: readonly MoveRequest[],
  octaves: 'free' | 'kept',
): Result<Moved> {
  const moved = movePhraseOn({ ...p, tempo }, requests, octaves);
  if (!moved.ok) return moved;
  return ok({ ...moved.value, phrase: { ...moved.value.phrase, tempo: p.tempo } });
}

/**
 * The chords of some bars as a lane says them: what shares a bar shares its beats.
 * @param from Place of the first bar in the list of bars.
 * @returns null where chords change at moments that no lane has.
 */
export function laneBars(
  p: Pick<Phrase, 'pickup' | 'bars' | 'length' | 'chords'>,
  from: number,
  count: number,
): LaneBars | null {
  const changes = laneOf(p);
  const inForce = (at: Ticks): LaneChord | undefined =>
    changes.filter((c) => c.onset <= at).at(-1)?.chord;
  const spans = barSpans(p).filter((s) => s.number > from && s.number <= from + count);
  const bars: LaneChord[][] = [];
  for (const { bar, start, end } of spans) {
    const beat = beatTicks(bar.meter);
    const beats = Math.round(meterTicks(bar.meter) / beat);
    const inside = changes.filter((c) => c.onset > start && c.onset < end).map((c) => c.onset);
    const onsets = (n: number) =>
      Array.from({ length: n }, (_, k) => start + Math.ceil((k * beats) / n) * beat);
    const n = [...Array(beats).keys()]
      .map((k) => k + 1)
      .find((k) => {
        const here = new Set(onsets(k));
        return inside.every((at) => here.has(at));
      });
    if (n === undefined) return null;
    const symbols = onsets(n).map(inForce);
    // Before its first chord a phrase has none, which a lane cannot say.
    if (symbols.some((s) => s === undefined)) return null;
    bars.push(symbols as LaneChord[]);
  }
  return bars.length === count ? bars : null;
}

/** What the source gives at its place: its events up to where the next part begins. */
export function cutAt(p: Phrase, until: Ticks | undefined): Phrase['voices'] {
  if (until === undefined) return p.voices;
  const cut = (v: Voice): Voice => ({
    events: v.events
      .filter((e) => e.onset < until)
      .map((e) => (endOf(e) > until ? { ...e, duration: until - e.onset } : e)),
    tuplets: v.tuplets.filter((t) => t.onset < until),
  });
  const [first, second] = p.voices;
  return second === undefined ? [cut(first)] : [cut(first), cut(second)];
}

/** Where something first begins in voices of which one has an event at least. */
export function firstOnset(voices: Phrase['voices']): Ticks {
  return Math.min(...voices.flatMap((v) => v.events.slice(0, 1).map((e) => e.onset)));
}

/**
 * What is heard of events and what is asked of the hands, but not where on the neck, nor how a pitch is
 * spelled: two parts that are equal in it are the same music.
 */
export function musicOf(
  voices: readonly { readonly events: readonly PhraseEvent[] }[],
): readonly MomentMusic[] {
  return voices.flatMap((v, voice) => v.events.map((e) => momentOf(e, voice)));
}

export interface MomentMusic {
  readonly voice: number;
  readonly onset: Ticks;
  readonly said: unknown;
  readonly notes: readonly NoteMusic[];
}

export interface NoteMusic {
  readonly id: string;
  /** Sounding pitches, start and target of a bend; none of a dead note. */
  readonly midi: readonly number[];
  readonly said: unknown;
}

function momentOf(e: PhraseEvent, voice: number): MomentMusic {
  const { onset, notes, graces, rake, ...said } = e;
  return {
    voice,
    onset,
    said: inOrder({ ...said, graces: graces?.map(graceOf), rake: rake?.length }),
    notes: notes.map(noteMusic).sort((a, b) => (a.id < b.id ? -1 : 1)),
  };
}

interface GraceMusic {
  readonly midi: number;
  readonly attack: unknown;
}

function graceOf(g: Grace): readonly GraceMusic[] {
  return g.notes
    .map(({ pitch, attack }) => ({ midi: midiOf(pitch), attack }))
    .sort((a, b) => a.midi - b.midi);
}

function noteMusic(n: Note): NoteMusic {
  if (n.kind === 'dead') return { id: n.id, midi: [], said: { scrape: n.scrape } };
  const { id, pitch, bend, trill } = n;
  const said = Object.fromEntries(Object.entries(n).filter(([field]) => !ELSEWHERE.has(field)));
  return {
    id,
    midi: [midiOf(pitch), bendSemitones(n), trill === undefined ? 0 : midiOf(trill.upper)],
    said: inOrder({ ...said, bend: bend && [bend.shape, bend.curve] }),
  };
}

/** The same with its fields by name: a sign taken away and put back, or a phrase read again, has them in another order. */
function inOrder(said: unknown): unknown {
  if (Array.isArray(said)) return said.map(inOrder);
  if (typeof said !== 'object' || said === null) return said;
  const fields = Object.entries(said).sort(([a], [b]) => (a < b ? -1 : 1));
  return Object.fromEntries(fields.map(([field, value]) => [field, inOrder(value)]));
}

/** Fields of a note that are told by its pitches, or say where it is played and with which finger. */
const ELSEWHERE: ReadonlySet<string> = new Set([
  'id',
  'pitch',
  'bend',
  'trill',
  'anticipation',
  'string',
  'fret',
  'finger',
  'pluck',
  'pinned',
]);

/** The same music so many semitones higher. */
export function transposed(music: readonly MomentMusic[], by: number): readonly MomentMusic[] {
  const note = (n: NoteMusic): NoteMusic => {
    const [start, bent, upper] = n.midi;
    if (start === undefined || bent === undefined || upper === undefined) return n;
    return { ...n, midi: [start + by, bent, upper === 0 ? 0 : upper + by] };
  };
  return music.map((m) => ({ ...m, said: gracesUp(m.said, by), notes: m.notes.map(note) }));
}

function gracesUp(said: unknown, by: number): unknown {
  const { graces, ...rest } = said as { readonly graces?: readonly (readonly GraceMusic[])[] };
  if (graces === undefined) return said;
  return inOrder({
    ...rest,
    graces: graces.map((notes) => notes.map((n) => ({ ...n, midi: n.midi + by }))),
  });
}

/** Stands for what a source gave. Ticks and ids are the source's own. */
export function laidPrint(voices: Phrase['voices']): number {
  return musicPrint(musicOf(voices));
}

/** The same of music that need not have been laid. */
export function musicPrint(music: readonly MomentMusic[]): number {
  return fingerprintOfData(music);
}
