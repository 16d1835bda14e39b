import type { Chord } from '../theory/chord';
import type { NoteReading } from '../understand/reading';
import { symbolOf } from './lane';
import type { MovePlan, NotePlan, Segment } from './plan';
import type { Adaptation, LaneChord } from './request';
import { rootInterval, type Target } from './target';

/** A segment with its place in time: its chord of the target, then its owner chord. */
interface Placed extends Segment {
  readonly place: readonly [number, number];
}

/** Segments as they are met: one for each pair of owner chord and target chord (M7); one in all to a key. */
export class SegmentList {
  private readonly found = new Map<string, Placed>();
  private readonly list: Placed[] = [];
  constructor(private readonly target: Target) {}

  /** The segment of a note over a chord. To a key all notes share one octave. */
  of(r: NoteReading, laneIndex: number, from: Chord, to: LaneChord): Segment {
    const interval = rootInterval(this.target, from, to);
    if (this.target.kind === 'key') return { ...this.ofKey(), interval };
    const place = [laneIndex, r.owner?.index ?? -1] as const;
    return this.named(place.join(), place, { from: symbolOf(from), to: symbolOf(to), interval });
  }

  ofKey(): Segment {
    return this.named('key', [-1, -1], { from: '', to: '', interval: this.target.keyInterval });
  }

  private named(key: string, place: Placed['place'], names: Omit<Segment, 'index'>): Segment {
    const known = this.found.get(key);
    if (known !== undefined) return known;
    const made: Placed = { index: this.list.length, place, ...names };
    this.found.set(key, made);
    this.list.push(made);
    return made;
  }

  /**
   * The plan with its segments in the order of time. One without a note of its own (all of them lead
   * into another chord) is none: what goes on before and behind it are neighbours (M7).
   */
  renumbered(notes: readonly NotePlan[], general: readonly Adaptation[]): MovePlan {
    const used = new Set(notes.map((n) => n.segment));
    const order = this.list
      .filter((s) => used.has(s.index))
      .sort((a, b) => a.place[0] - b.place[0] || a.place[1] - b.place[1]);
    const turned = notes.map((n): NotePlan => {
      const segment = n.segment === null ? null : order.findIndex((s) => s.index === n.segment);
      return { ...n, segment };
    });
    return {
      segments: order.map(({ place: _, ...s }, index) => ({ ...s, index })),
      notes: turned,
      byId: new Map(turned.map((n) => [n.reading.note.id, n])),
      general,
    };
  }
}
