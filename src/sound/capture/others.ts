import type { HeardOthers } from '../../core/heard/types';
import type { Posteriors } from './network';
import { PITCHES } from './network-shape';
import type { Traced } from './techniques';

/** Frames to both sides of an onset in which that of another pitch counts as the same stroke. */
const TOGETHER = 3;
/** Frames of a note in which another pitch must sound to be what was played. */
const FRAMES = 12;
/** Pitches that are mistaken for each other most often are always told, in semitones. */
const ALWAYS = [-12, -1, 1, 12] as const;
/** So many others besides, each of which the network must give at least so much. */
const BESIDE = 2;
const LEAST = 0.03;
/** No pitch further away is taken for another one: two octaves. */
const FARTHEST = 24;

/** What the network says that a note may be instead, at the frames in which it was heard. */
export class Others {
  readonly #p: Posteriors;
  readonly #onset: Float32Array;
  readonly #sounds: Float32Array;
  /** Rows in which notes begin, by frame. */
  readonly #begun = new Map<number, number[]>();

  /**
   * @param onset Shares of onsets, row by row in each frame.
   * @param sounds The same of sounding.
   * @param notes All that were heard: what is one of them is nothing that another may be instead.
   */
  constructor(
    p: Posteriors,
    onset: Float32Array,
    sounds: Float32Array,
    notes: readonly Pick<Traced, 'frame' | 'row'>[],
  ) {
    this.#p = p;
    this.#onset = onset;
    this.#sounds = sounds;
    for (const { frame, row } of notes) {
      for (let t = frame - TOGETHER; t <= frame + TOGETHER; t++) {
        this.#begun.set(t, [...(this.#begun.get(t) ?? []), row]);
      }
    }
  }

  of(n: Traced): HeardOthers {
    const taken = new Set(this.#begun.get(n.frame));
    const all = [];
    for (let by = -FARTHEST; by <= FARTHEST; by++) {
      const row = n.row + by;
      if (by === 0 || row < 0 || row >= PITCHES || taken.has(row)) continue;
      all.push({ by, begins: this.#begins(n.frame, row), sounds: this.#soundsIn(n.frames, row) });
    }
    const usual = all.filter((o) => ALWAYS.some((by) => by === o.by));
    const beside = all
      .filter((o) => !usual.includes(o) && o.begins >= LEAST)
      .sort((a, b) => b.begins - a.begins)
      .slice(0, BESIDE);
    return { pitches: [...usual, ...beside], attacks: n.attacks, bends: n.bends };
  }

  #begins(frame: number, row: number): number {
    let most = 0;
    const last = Math.min(this.#p.frames - 1, frame + TOGETHER);
    for (let t = Math.max(0, frame - TOGETHER); t <= last; t++) {
      most = Math.max(most, this.#onset[t * PITCHES + row]!);
    }
    return most;
  }

  #soundsIn(frames: readonly number[], row: number): number {
    const some = frames.slice(0, FRAMES);
    return some.reduce((sum, t) => sum + this.#sounds[t * PITCHES + row]!, 0) / some.length;
  }
}
