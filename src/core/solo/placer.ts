import type { LaidForm } from '../form/lay';
import { type Sketch, sketchOf } from '../joins/sketch';
import { type Standing, standingOf } from '../joins/standing';
import type { Moved, MoveRequest } from '../move/request';
import { firstStage, nextStage, type Stage } from '../move/stage';
import { HIGHEST_FRET } from '../neck/from-hand';
import { openMidi, playableFrets } from '../phrase/instrument';
import { meterTicks } from '../phrase/time';
import type { Phrase, Ticks } from '../phrase/types';
import { notesOf } from '../phrase/walk';
import { fail, ok, type Result } from '../result';
import { midiOf } from '../theory/pitch';
import { chordSpans } from '../understand/owner';
import { moveAt, requestsTo } from './laid';
import { lineOf } from './line';
import { tornAt } from './torn';
import type { Candidate } from './types';

/** A candidate with what joins look at. Its pitches are `sketch` and `octaves` more. */
export interface Sketched extends Candidate {
  readonly sketch: Sketch;
  readonly standing: Standing;
  /** The highest pitch at which a string is stopped for a note that was not written beyond `HIGHEST_FRET`. */
  readonly stopped: number;
  /** How often its line leaps where it did not (`tornAt`). */
  readonly torn: number;
}

interface Line {
  readonly requests: readonly MoveRequest[];
  readonly sketch: Sketch;
  readonly standing: Standing;
  readonly stopped: number;
  readonly torn: number;
  /** First onset and the end of the last note, counted from where the phrase begins. */
  readonly from: Ticks;
  readonly until: Ticks;
}

/** Phrases by their places: a list, or what reads each when it is asked for. */
export interface Phrases {
  readonly length: number;
  at(index: number): Phrase | undefined;
}

/** Moves phrases to the bars of one form, and knows those it has moved. */
export class Placer {
  private readonly inKey = new Map<number, Result<Stage>>();
  private readonly lines = new Map<string, Result<Line>>();
  private readonly windows = new Map<number, string>();
  private readonly played = new Map<string, Result<Moved>>();

  constructor(
    readonly form: LaidForm,
    readonly phrases: Phrases,
  ) {}

  /** The chords of so many bars, as a name. */
  windowAt(start: number, bars: number): string {
    const key = start * (this.form.bars.length + 1) + bars;
    const name = this.windows.get(key) ?? JSON.stringify(this.form.bars.slice(start, start + bars));
    this.windows.set(key, name);
    return name;
  }

  /** A phrase at a bar, in every octave that lies on the neck; or why the move is refused. */
  at(index: number, start: number, suits: number): Result<readonly Sketched[]> {
    const phrase = this.phrases.at(index)!;
    const name = `${index} ${this.windowAt(start, phrase.bars.length)}`;
    const moved = this.lines.get(name) ?? this.lineAt(phrase, index, start);
    this.lines.set(name, moved);
    return moved.ok ? ok(this.placed(moved.value, phrase, { index, start, suits })) : moved;
  }

  /**
   * The pitches over other chords, by their roles (M2, M4), without a place on the neck: enough to weigh
   * hundreds before one is fingered.
   */
  private lineAt(p: Phrase, index: number, start: number): Result<Line> {
    const bars = this.form.bars.slice(start, start + p.bars.length);
    const [toKey, overLane] = requestsTo(p, this.form.key.tonic, bars);
    const inKey = this.inKey.get(index) ?? nextStage(firstStage(p), toKey);
    this.inKey.set(index, inKey);
    if (!inKey.ok) return inKey;
    const after = nextStage(inKey.value, overLane);
    if (!after.ok) return after;
    const { now } = after.value;
    const line = lineOf(now);
    if (line.length === 0) return fail({ message: 'it has no notes with pitch' });
    const sketch = sketchOf(line);
    const last = line.at(-1)!;
    return ok({
      requests: [toKey, overLane],
      sketch,
      standing: standingOf(line, {
        spans: chordSpans(now),
        meter: this.form.form.meter,
        bar: now.pickup,
      }),
      stopped: stoppedIn(now),
      torn: tornAt(lineOf(p), line),
      from: line[0]!.onset,
      until: last.onset + last.duration,
    });
  }

  /** A candidate on the neck. */
  play({ index, start, end, octaves, requests }: Candidate): Result<Moved> {
    const name = `${index} ${octaves} ${this.windowAt(start, end - start)}`;
    const { tempo } = this.form.form;
    const moved = this.played.get(name) ?? moveAt(tempo, this.phrases.at(index)!, requests);
    this.played.set(name, moved);
    return moved;
  }

  private placed(
    moved: Line,
    p: Phrase,
    at: Pick<Candidate, 'index' | 'start' | 'suits'>,
  ): readonly Sketched[] {
    const strings = p.instrument.tuning.map((_, i) => openMidi(p.instrument, i + 1));
    const low = Math.min(...strings);
    const high = Math.max(...strings) + playableFrets(p.instrument);
    const outside = ({ lowest, highest }: Sketch, shift: number) =>
      lowest + shift < low || highest + shift > high;
    const zero = at.start * meterTicks(this.form.form.meter) - p.pickup;
    return [0, 1, -1].flatMap((octaves): Sketched[] => {
      const shift = 12 * octaves;
      if (octaves !== 0 && outside(moved.sketch, shift)) return [];
      const more: MoveRequest = { to: { kind: 'octaves', octaves } };
      return [
        {
          ...at,
          end: at.start + p.bars.length,
          requests: octaves === 0 ? moved.requests : [...moved.requests, more],
          octaves,
          from: zero + moved.from,
          until: zero + moved.until,
          sketch: moved.sketch,
          standing: moved.standing,
          stopped: moved.stopped,
          torn: moved.torn,
        },
      ];
    });
  }
}

/** @param moved Strings and frets are still those where it was written. */
function stoppedIn(moved: Phrase): number {
  const pitches = notesOf(moved).flatMap(({ note }) => {
    const free = note.kind === 'dead' || note.harmonic?.kind === 'natural';
    return free || note.fret > HIGHEST_FRET ? [] : [midiOf(note.pitch)];
  });
  return Math.max(...pitches);
}
