import { dice } from '../backing/dice';
import type { LaidForm } from '../form/lay';
import { type Sketch, sketchOf } from '../joins/sketch';
import type { MoveRequest } from '../move/request';
import { firstStage, nextStage, type Stage } from '../move/stage';
import { openMidi, playableFrets } from '../phrase/instrument';
import { meterTicks } from '../phrase/time';
import type { Phrase } from '../phrase/types';
import { fail, ok, type Result } from '../result';
import { alike, familiesOfBars, familiesOfPhrase } from './families';
import { lineOf } from './line';
import type { PhrasePin } from './pins';
import type { Candidate, SoloTask } from './types';

const USUAL_POOL = 40;

/** A candidate with what joins look at. Its pitches are `sketch` and `octaves` more. */
export interface Sketched extends Candidate {
  readonly sketch: Sketch;
}

/** Moves phrases to the bars of one form, and knows those it has moved. */
export class Placer {
  private readonly inKey = new Map<number, Result<Stage>>();
  private readonly lines = new Map<string, Result<Moved>>();
  private readonly windows = new Map<number, string>();

  constructor(readonly form: LaidForm) {}

  /** The chords of so many bars, as a name. */
  windowAt(start: number, bars: number): string {
    const key = start * (this.form.bars.length + 1) + bars;
    const name = this.windows.get(key) ?? JSON.stringify(this.form.bars.slice(start, start + bars));
    this.windows.set(key, name);
    return name;
  }

  /** A phrase at a bar, in every octave that lies on the neck; or why the move is refused. */
  at(phrase: Phrase, index: number, start: number, suits: number): Result<readonly Sketched[]> {
    const name = `${index} ${this.windowAt(start, phrase.bars.length)}`;
    const moved = this.lines.get(name) ?? this.moved(phrase, index, start);
    this.lines.set(name, moved);
    return moved.ok ? ok(this.placed(moved.value, phrase, { index, start, suits })) : moved;
  }

  /**
   * The pitches over other chords, by their roles (M2, M4), without a place on the neck: enough to weigh
   * hundreds before one is fingered.
   */
  private moved(p: Phrase, index: number, start: number): Result<Moved> {
    const key = { tonic: this.form.key.tonic, mode: p.key.mode };
    const toKey: MoveRequest = { to: { kind: 'key', key } };
    const inKey = this.inKey.get(index) ?? nextStage(firstStage(p), toKey);
    this.inKey.set(index, inKey);
    if (!inKey.ok) return inKey;
    const bars = this.form.bars.slice(start, start + p.bars.length);
    const overLane: MoveRequest = { to: { kind: 'lane', bars }, way: 'chord' };
    const after = nextStage(inKey.value, overLane);
    if (!after.ok) return after;
    const line = lineOf(after.value.now);
    if (line.length === 0) return fail({ message: 'it has no notes with pitch' });
    const midi = line.map((n) => n.midi);
    return ok({
      requests: [toKey, overLane],
      sketch: sketchOf(line),
      lowest: Math.min(...midi),
      highest: Math.max(...midi),
    });
  }

  private placed(
    moved: Moved,
    p: Phrase,
    at: Pick<Candidate, 'index' | 'start' | 'suits'>,
  ): readonly Sketched[] {
    const strings = p.instrument.tuning.map((_, i) => openMidi(p.instrument, i + 1));
    const low = Math.min(...strings);
    const high = Math.max(...strings) + playableFrets(p.instrument);
    const line = lineOf(p);
    const zero = at.start * meterTicks(this.form.form.meter) - p.pickup;
    const last = line.at(-1)!;
    return [0, 1, -1].flatMap((octaves): Sketched[] => {
      const shift = 12 * octaves;
      if (octaves !== 0 && (moved.lowest + shift < low || moved.highest + shift > high)) return [];
      const more: MoveRequest = { to: { kind: 'octaves', octaves } };
      return [
        {
          ...at,
          end: at.start + p.bars.length,
          requests: octaves === 0 ? moved.requests : [...moved.requests, more],
          octaves,
          from: zero + line[0]!.onset,
          until: zero + last.onset + last.duration,
          sketch: moved.sketch,
        },
      ];
    });
  }
}

/**
 * What could stand at every bar: first, without moving anything, the phrases whose own chords are
 * most like those of the bars (`pool` of them, equal ones by the seed); of these every octave that
 * lies on the neck.
 * @param usable Places in the list of phrases.
 */
export function candidatesFor(
  { form, phrases, options }: SoloTask,
  usable: readonly number[],
  placer: Placer,
): readonly Sketched[] {
  const { seed = 0, pool = USUAL_POOL } = options;
  const groups = new Map<string, Group>();
  for (const i of usable) {
    const p = phrases[i]!;
    const families = familiesOfPhrase(p);
    const name = `${p.bars.length} ${families}`;
    const group = groups.get(name);
    if (group !== undefined) group.members.push(i);
    else groups.set(name, { bars: p.bars.length, families, members: [i] });
  }
  return form.bars.flatMap((_, start) =>
    bestAt(placer, start, [...groups.values()], pool, seed).flatMap(({ index, suits }) => {
      const placed = placer.at(phrases[index]!, index, start, suits);
      return placed.ok ? placed.value : [];
    }),
  );
}

/** Phrases that hear the same in their chords: at a bar they suit equally well. */
interface Group {
  readonly bars: number;
  readonly families: string;
  readonly members: number[];
}

function bestAt(
  placer: Placer,
  start: number,
  groups: readonly Group[],
  pool: number,
  seed: number,
): readonly { readonly index: number; readonly suits: number }[] {
  const { form } = placer;
  const bySuits = new Map<number, Group[]>();
  for (const group of groups) {
    if (start + group.bars > form.bars.length) continue;
    const window = form.bars.slice(start, start + group.bars);
    const suits = alike(group.families, familiesOfBars(window, form.form.meter));
    bySuits.set(suits, [...(bySuits.get(suits) ?? []), group]);
  }
  const chosen: { index: number; suits: number }[] = [];
  for (const [suits, equal] of [...bySuits].sort((a, b) => b[0] - a[0])) {
    const left = pool - chosen.length;
    if (left <= 0) break;
    // The same bars get the same phrases, so that each is moved to them once.
    const ties = equal.flatMap(({ bars, members }) => {
      const window = hash(placer.windowAt(start, bars));
      return members.map((index) => ({ index, tie: dice(seed, window, index) }));
    });
    if (ties.length > left) ties.sort((a, b) => a.tie - b.tie);
    for (const { index } of ties.slice(0, left)) chosen.push({ index, suits });
  }
  return chosen;
}

/** A number for a text, for `dice`. */
const hash = (text: string) => Math.trunc(dice(0, text) * 0x1_0000_0000);

/** How well a phrase suits the bars it would stand over, 0 to 1. */
export function suitsAt(form: LaidForm, p: Phrase, start: number): number {
  const window = form.bars.slice(start, start + p.bars.length);
  return alike(familiesOfPhrase(p), familiesOfBars(window, form.form.meter));
}

/** A pinned phrase in the octaves that the pin leaves open; or why it cannot be moved there. */
export function candidatesOfPin(
  { form, phrases }: SoloTask,
  pin: PhrasePin,
  placer: Placer,
): Result<readonly Sketched[]> {
  const phrase = phrases[pin.index]!;
  const placed = placer.at(phrase, pin.index, pin.start, suitsAt(form, phrase, pin.start));
  const bar = pin.start + 1;
  const name = `“${phrase.meta.title}” cannot stand at bar ${bar}`;
  if (!placed.ok) {
    return fail({ message: `${name}: ${placed.problems[0]?.message ?? ''}`, bar });
  }
  const open = placed.value.filter((c) => (pin.octaves ?? c.octaves) === c.octaves);
  if (open.length > 0) return ok(open);
  return fail({ message: `${name}: in that octave it does not lie on the neck`, bar });
}

interface Moved {
  readonly requests: readonly MoveRequest[];
  readonly sketch: Sketch;
  readonly lowest: number;
  readonly highest: number;
}
