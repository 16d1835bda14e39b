import type { Phrase } from '../phrase/types';
import { fail, ok, type Result } from '../result';
import { type Chord, chordFrom, transposeChord } from '../theory/chord';
import {
  addIntervals,
  classInterval,
  type Interval,
  octaves,
  transposeClass,
  UNISON,
} from '../theory/interval';
import { fifthsOf, type Key, pitchClassAtFifths, settleKey, signatureFifths } from '../theory/key';
import { keySign } from '../theory/key-sign';
import type { PitchClass } from '../theory/pitch';
import type { NoteReading } from '../understand/reading';
import { type LaneChange, laneOf, layLane, nameOf } from './lane';
import { isMinor, keepNumeral } from './modes';
import type { Adaptation, Destination, LaneChord } from './request';

/** Where a phrase goes: the key and the lane of chords it will stand over. */
export interface Target {
  readonly kind: 'key' | 'lane' | 'steps';
  readonly key: Key;
  /** From the old tonic to the new one, ascending; a unison unless the destination is a key. */
  readonly keyInterval: Interval;
  readonly changes: readonly LaneChange[];
  /** Respellings of chord roots (P5). */
  readonly notes: readonly Adaptation[];
}

/** Destinations that change what the notes are. */
export type Toward = Exclude<Destination, { readonly kind: 'octaves' | 'instrument' | 'beat' }>;

/** Works out the target of a destination, or says why it cannot be (M2). */
export function findTarget(p: Phrase, to: Toward): Result<Target> {
  const source = laneOf(p);
  switch (to.kind) {
    case 'steps':
      return ok({ kind: 'steps', key: p.key, keyInterval: UNISON, changes: source, notes: [] });
    case 'chord':
    case 'lane': {
      const laid = layLane(p, to.kind === 'chord' ? [[to.chord]] : to.bars);
      if (!laid.ok) return laid;
      return ok({ kind: 'lane', key: p.key, keyInterval: UNISON, changes: laid.value, notes: [] });
    }
    case 'key':
      return targetKey(p, source, to.key);
  }
}

function targetKey(p: Phrase, source: readonly LaneChange[], key: Key): Result<Target> {
  const otherMode = isMinor(p.key) !== isMinor(key);
  if (Math.abs(signatureFifths(key)) > 7) {
    return fail({
      message: `${keySign(key)} has no key signature: it would need more than seven accidentals`,
      fix: `Use ${keySign(settleKey(key, p.key))}, which sounds the same.`,
    });
  }
  const keyInterval = classInterval(p.key.tonic, key.tonic);
  const notes: Adaptation[] = [];
  const changes = source.map((c): LaneChange => {
    if (c.chord === null) return c;
    const take = (x: Chord) =>
      otherMode ? keepNumeral(x, p.key, key) : transposeChord(x, keyInterval);
    const moved = take(c.chord);
    if (moved !== null) {
      if (otherMode && moved.kind !== c.chord.kind) {
        notes.push(
          said(
            'M2',
            `${nameOf(c.chord)} becomes ${nameOf(moved)}: the numeral is kept in ${keySign(key)}`,
          ),
        );
      }
      return { onset: c.onset, chord: moved };
    }
    const chord = underAnotherName(c.chord, take);
    const [was, is] = [nameOf(c.chord), nameOf(chord)];
    const name = was === is ? `${was} keeps its name` : `${was} becomes ${is}`;
    notes.push(said('P5', `${name}: by the letter it would need more than a double accidental`));
    return { onset: c.onset, chord };
  });
  return ok({ kind: 'key', key, keyInterval, changes, notes });
}

function said(rule: string, text: string): Adaptation {
  return { rule, text, fallback: false };
}

/** The chord under its enharmonic root, on the side with fewer accidentals. */
export function respelled(chord: Chord): Chord {
  const fifths = fifthsOf(chord.root);
  const root = pitchClassAtFifths(fifths > 0 ? fifths - 12 : fifths + 12);
  if (root === null) return chord;
  const bass =
    chord.bass === null
      ? null
      : transposeClass(chord.bass, { steps: fifths > 0 ? 1 : -1, semitones: 0 });
  const made = chordFrom(root, chord.kind, chord.degrees, bass ?? chord.bass);
  return made.ok ? made.value : chord;
}

/**
 * A chord moved under the first of its other names that can be written then (P5). Root and bass may
 * each need one of its own: E/G♭ up a diminished sixth has the root C♭ and needs D♭ as its bass.
 * @param take Moves a chord; null beyond double accidentals.
 */
export function underAnotherName(chord: Chord, take: (c: Chord) => Chord | null): Chord {
  const { bass } = chord;
  const others = namesOf(chord.root).flatMap((root) =>
    (bass === null ? [null] : namesOf(bass)).map((b): Chord => ({ ...chord, root, bass: b })),
  );
  for (const named of [respelled(chord), ...others]) {
    const moved = take(named);
    if (moved !== null) return moved;
  }
  throw new RangeError('a chord has a name that can be written in every key');
}

/** Every name of a pitch class within double accidentals, its own first. */
function namesOf(p: PitchClass): readonly PitchClass[] {
  return [0, 12, -12, 24, -24].flatMap((n) => pitchClassAtFifths(fifthsOf(p) + n) ?? []);
}

/** The place in the target lane that a note falls under: that of its owner chord's onset for an anticipation. */
export function targetIndex(t: Target, r: NoteReading): number {
  if (t.kind !== 'lane') return r.owner?.index ?? -1;
  const at = r.anticipates && r.owner !== null ? r.owner.onset : r.at.onset;
  let found = t.changes.length === 0 ? -1 : 0;
  for (let i = 0; i < t.changes.length && t.changes[i]!.onset <= at; i++) found = i;
  return found;
}

/**
 * How far the root moves, before an octave is chosen. To a key every chord moves by the key's own
 * interval, give or take the semitone by which a step differs between the modes.
 */
export function rootInterval(t: Target, from: Chord, to: LaneChord): Interval {
  if (to === null) return t.keyInterval;
  if (t.kind !== 'key') return classInterval(from.root, to.root);
  const plain = transposeClass(from.root, t.keyInterval);
  if (plain === null) return classInterval(from.root, to.root);
  const off = classInterval(plain, to.root);
  const near = off.semitones > 6 || off.steps > 3 ? addIntervals(off, octaves(-1)) : off;
  return addIntervals(t.keyInterval, near);
}
