import { DEFAULT_LIMITS } from '../../../core/neck/limits';
import type { Bend, BendPoint } from '../../../core/phrase/types';
import { midiOf, type Pitch } from '../../../core/theory/pitch';
import {
  type BendTiming,
  bendTiming,
  curveOfTiming,
  DEFAULT_FIRST_BEAT,
  DEFAULT_LAST_BEAT,
} from '../bend-timing';
import type { NoteExtras } from '../misc';
import { targetAgrees } from '../misc';
import type { Found, ImportLog } from './log';
import type { BendMark } from './mark-types';

/** When a bend that is let down again rises and falls, where the file does not say (ours). */
const QUICK_RISE: readonly [number, number] = [0, 25];
const LATE_FALL: readonly [number, number] = [50, 75];

/** A `<bend>` and the stretch of the whole note that its percentages count over. */
export interface PlacedBend extends BendMark {
  /** Percent of the tied notes together: all of it, but from its own note on where a later one carries it. */
  readonly within: readonly [from: number, to: number];
}

/**
 * The bend that the `<bend>` elements of a note (tied notes together) say: the child element
 * decides, then the sign. Pitch and fret are of the fretted start.
 * @param spell Names the sounding target.
 * @param entry What our own field says about it; believed only where it agrees with the elements.
 */
export function bendOf(
  marks: readonly PlacedBend[],
  pitch: Pitch,
  spell: (midi: number) => Pitch,
  entry: NoteExtras['bend'],
  found: Found,
  log: ImportLog,
): Bend | null {
  const rising = marks.filter((m) => m.kind !== 'release');
  const release = marks.find((m) => m.kind === 'release');
  const first = rising[0];
  if (rising.length > 1) {
    log.add('approximated', 'of several bends on one note the widest is kept', found);
  }
  const exact = Math.max(0, ...marks.map((m) => Math.abs(m.alter)));
  if (exact === 0) {
    log.add('dropped', 'a bend that goes nowhere is left out', found);
    return null;
  }
  if (first === undefined && release !== undefined) {
    log.add('approximated', 'a release without a bend is kept as a pre-bend let down', found);
  }
  const preBent = first === undefined || first.kind === 'pre-bend';
  const released = release !== undefined;
  const timing: BendTiming = {
    rise: preBent ? null : riseOf(first, released),
    fall: release === undefined ? null : fallOf(release),
  };
  if (exact < 0.75) {
    if (preBent || released) {
      log.add('dropped', 'a quarter-tone bend other than a curl is left out', found);
      return null;
    }
    if (exact !== 0.5) log.add('approximated', 'a very small bend is kept as a curl', found);
    return { shape: 'curl', curve: curveOf('curl', timing, entry?.curve) };
  }
  const width = Math.min(Math.round(exact), DEFAULT_LIMITS.bend);
  if (width !== exact) {
    log.add('approximated', `a bend of ${exact} semitones is kept as ${width}`, found);
  }
  const shape = `${preBent ? 'pre-bend' : 'bend'}${released ? '-release' : ''}` as const;
  const own = entry?.target;
  const target =
    own !== undefined && targetAgrees(pitch, own, width) ? own : spell(midiOf(pitch) + width);
  return { shape, target, curve: curveOf(shape, timing, entry?.curve) };
}

function riseOf(m: PlacedBend, released: boolean): readonly [number, number] {
  return timed(m, released ? QUICK_RISE : [DEFAULT_FIRST_BEAT, DEFAULT_LAST_BEAT]);
}

function fallOf(m: PlacedBend): readonly [number, number] {
  return timed(m, LATE_FALL);
}

/** What the element says of its beginning and end, else what is usual, over its stretch of the whole. */
function timed(m: PlacedBend, usual: readonly [number, number]): readonly [number, number] {
  const [from, to] = m.within;
  const at = (n: number) => (from === 0 && to === 100 ? n : from + ((to - from) * n) / 100);
  return [at(percent(m.firstBeat) ?? usual[0]), at(percent(m.lastBeat) ?? usual[1])];
}

function percent(n: number | null): number | null {
  return n === null ? null : Math.max(0, Math.min(100, n));
}

/** The curve of our own field where it has the timing of the file, else the plain one. */
function curveOf(
  shape: Bend['shape'],
  timing: BendTiming,
  own: readonly (readonly [number, number])[] | undefined,
): readonly BendPoint[] {
  const curve = own?.map(([at, amount]): BendPoint => ({ at, amount }));
  if (curve === undefined || curve.length < 2) return curveOfTiming(timing);
  const same = JSON.stringify(bendTiming(shape, curve)) === JSON.stringify(timing);
  return same ? curve : curveOfTiming(timing);
}
