import { openMidi, playableFrets } from '../phrase/instrument';
import type { Instrument, Phrase } from '../phrase/types';
import { notesOf } from '../phrase/walk';
import type { Course } from '../practice/course';
import type { Step, Take } from '../practice/types';
import type { Begin, Sound } from '../sound/types';
import { type AsPlayed, curveOf, type PlayedSound } from './played';

/** A tick of what is played here is so many of its seconds: nothing of it is written. */
export const PLAYED_TICK = 0.001;

/** A round takes so many seconds at least: of rounds of no length there is no end. */
const SHORTEST = 0.1;

export interface PlayedWay {
  /** Percent of the speed at which it was played; the pitch stays. */
  readonly speed: number;
  /** From its beginning once more at its end. */
  readonly again: boolean;
}

/**
 * A phrase as it was played, for the player: the times, lengths and pitches that were heard, on the strings on which it is
 * written. How loud each note was is not known.
 * @param take By which what sounds is known for this.
 */
export function playedCourse(take: Take, played: AsPlayed, { speed, again }: PlayedWay): Course {
  const rate = speed / 100;
  const sounds = soundsOf(take.phrase, played, rate);
  // What comes from a file may say that all of it is shorter than its notes, or nothing.
  const seconds = played.sounds.reduce(
    (most, s) => Math.max(most, s.end),
    Math.max(played.seconds, SHORTEST),
  );
  const step = (round: number): Step => ({
    ...{ kind: 'play', round, speed, take, next: again ? take : null, leftOut: [] },
    ...{ length: seconds / rate, sounds, heard: true, clicks: [], backing: null },
    ...{ secondsPerTick: PLAYED_TICK / rate, from: 0 },
  });
  return {
    first: step(0),
    at: step,
    after: ({ round }) => (again ? step(round + 1) : null),
    takes: { count: 1, at: () => take },
  };
}

/** A string that was damped so long before cannot be hammered on, in seconds. */
const RINGS = 0.06;

function soundsOf(p: Phrase, { sounds }: AsPlayed, rate: number): readonly Sound[] {
  const written = new Map(notesOf(p).map(({ note }) => [note.id, note.string]));
  /** When each string falls silent. */
  const until = new Map<number, number>();
  return sounds.map((s) => {
    const curve = curveOf(s);
    const place = placeOf(p.instrument, s, curve[0]!.midi, written.get(s.note), until);
    const { string } = place;
    const goesOn = (until.get(string) ?? Number.NEGATIVE_INFINITY) >= s.onset - RINGS;
    until.set(string, s.end);
    const midi = Math.round(s.pitch);
    return {
      ...{ noteId: s.note, voice: 0, ...place },
      onset: s.onset / rate,
      length: (s.end - s.onset) / rate,
      tick: Math.round(s.onset / PLAYED_TICK),
      level: 0,
      begin: goesOn ? BEGINS[s.attack ?? 'pluck'] : 'plucked',
      manner: s.muted ? 'palm' : 'open',
      midi,
      curve: curve.map((c) => ({ at: (c.at - s.onset) / rate, cents: 100 * (c.midi - midi) })),
    };
  });
}

const BEGINS: Readonly<Record<NonNullable<PlayedSound['attack']> | 'pluck', Begin>> = {
  pluck: 'plucked',
  'hammer-on': 'hammered',
  'pull-off': 'pulled',
  slide: 'slid',
};

/** The string on which it is written; where that has not the pitch, or the note is gone, a free one that has. */
function placeOf(
  i: Instrument,
  { onset }: PlayedSound,
  midi: number,
  written: number | undefined,
  until: ReadonlyMap<number, number>,
): { readonly string: number; readonly fret: number } {
  const frets = playableFrets(i);
  const all = i.tuning.map((_, k) => ({
    string: k + 1,
    fret: Math.round(midi) - openMidi(i, k + 1),
  }));
  const can = all.filter(({ fret }) => fret >= 0 && fret <= frets);
  const own = can.find(({ string }) => string === written);
  if (own !== undefined) return own;
  const isFree = ({ string }: { readonly string: number }) => (until.get(string) ?? 0) <= onset;
  const [best = { string: written ?? 1, fret: 0 }] = [...can].sort(
    (a, b) => Number(isFree(b)) - Number(isFree(a)) || a.fret - b.fret,
  );
  return best;
}
