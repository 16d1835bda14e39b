import type { Feel } from '../phrase/types';
import type { BackingParts, DrumHit, StringPart } from '../sound/parts';
import { type ToneName, toneOf } from '../sound/tone';
import type { Seconds, Sound } from '../sound/types';
import { BACKING_BASS } from './bass-neck';
import { begunAnew, ownRhythm } from './own-rhythm';
import { secondsOf, swungMoments } from './swing';
import type { Backing, BackingFeel, CompChord, Stopped } from './types';
import { BACKING_GUITAR } from './voicings';

export interface BandTime {
  /** Seconds of a played tick, as the performance of the phrase has it. */
  readonly secondsPerTick: number;
  /** As it is heard, or even as it is written. */
  readonly swing?: 'heard' | 'written';
}

/** The tone of the comping in each feel (ours). */
const TONES: Readonly<Record<BackingFeel, ToneName>> = {
  straight: 'steel',
  rock: 'driven',
  shuffle: 'clean',
  'twelve-eight': 'clean',
  swing: 'clean',
  bossa: 'nylon',
  ballad: 'nylon',
};

/** A plucked string is damped this long before the next note of the bass: it is let go to be stopped anew. */
const LET_GO: Seconds = 0.02;

/** A stroke over the strings takes this long from one to the next: faster than a strum that is written. */
const STROKE: Seconds = 0.006;

/** A band's part as sounds on the clock of the phrase's performance. */
export function performBacking(b: Backing, time: BandTime): BackingParts {
  const swing: Feel = time.swing === 'written' ? { kind: 'straight' } : b.swing;
  const at = swungMoments(b.form, swing);
  const seconds = (m: Parameters<typeof secondsOf>[0]) => secondsOf(m, at, time.secondsPerTick);
  const bass = b.bass.map((n) => {
    const { onset, length } = seconds(n);
    return sound(n, onset, Math.max(length - LET_GO, length / 2), n.at, n.level);
  });
  const drums = b.drums.map((d): DrumHit => {
    const { onset, length } = seconds(d);
    return { drum: d.drum, onset, level: d.level, ...(length > 0 ? { length } : {}) };
  });
  const comping = compingOf(b, swing, seconds, time);
  return {
    bass: bass.length === 0 ? null : { instrument: BACKING_BASS, tone: 'bass', sounds: bass },
    comping: comping.sounds.length === 0 ? null : comping,
    drums,
  };
}

/** The band's own comping, or a rhythm of one's own wherever that can be played. */
function compingOf(
  b: Backing,
  swing: Feel,
  seconds: (c: CompChord) => { readonly onset: Seconds; readonly length: Seconds },
  time: BandTime,
): StringPart {
  const filled = b.rhythm === null ? [] : ownRhythm(b.form, b.rhythm, swing, time.secondsPerTick);
  // Another guitar cannot share its strings: where the rhythm does not go, it rests.
  if (b.rhythm !== null && filled.length > 0) {
    const { instrument } = b.rhythm;
    const sounds = begunAnew(damped(filled.flatMap((f) => f.sounds)));
    return { instrument, tone: toneOf(b.rhythm), sounds };
  }
  const chords = b.comping.flatMap((c) => strummed(c, seconds(c)));
  return { instrument: BACKING_GUITAR, tone: TONES[b.feel], sounds: damped(chords) };
}

function sound(
  place: Stopped,
  onset: Seconds,
  length: Seconds,
  tick: number,
  level: number,
): Sound {
  return {
    noteId: null,
    voice: 0,
    string: place.string,
    fret: place.fret,
    onset,
    length,
    tick,
    level,
    begin: 'plucked',
    manner: 'open',
    midi: place.midi,
    curve: [{ at: 0, cents: 0 }],
  };
}

/** A down stroke begins with the lowest string, an up stroke with the highest. */
function strummed(
  c: CompChord,
  time: { readonly onset: Seconds; readonly length: Seconds },
): readonly Sound[] {
  const order = c.stroke === 'down' ? c.voices : [...c.voices].reverse();
  return order.map((v, i) => {
    const late = Math.min(i * STROKE, time.length / 4);
    return sound(v, time.onset + late, time.length - late, c.at, c.level);
  });
}

/** One sound a string at a time. */
function damped(sounds: readonly Sound[]): readonly Sound[] {
  const next = new Map<number, number>();
  const out: Sound[] = [];
  for (const s of [...sounds].sort((a, b) => b.onset - a.onset)) {
    const until = next.get(s.string) ?? Number.POSITIVE_INFINITY;
    out.push({ ...s, length: Math.min(s.length, until - s.onset) });
    next.set(s.string, s.onset);
  }
  return out.sort((a, b) => a.onset - b.onset || a.string - b.string);
}
