import type { Chord } from '../theory/chord';
import type { Interval } from '../theory/interval';
import type { NoteReading } from '../understand/reading';
import { nameOf } from './lane';
import type { MovePlan, NotePlan, Segment } from './plan';
import type { Adaptation, LaneChord } from './request';
import { rootInterval, type Target } from './target';

/** Segments as they are met: one for each pair of owner chord and target chord (M7); one in all to a key. */
export class SegmentList {
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
