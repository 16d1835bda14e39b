import { dice } from '../backing/dice';
import type { LaidForm } from '../form/lay';
import { type Sketch, sketchOf } from '../joins/sketch';
import type { MoveRequest } from '../move/request';
import { pitchesAfter } from '../move/stage';
import { openMidi, playableFrets } from '../phrase/instrument';
import { meterTicks } from '../phrase/time';
import type { Phrase } from '../phrase/types';
import { type Family, familiesOfBars, familiesOfPhrase } from './families';
import { lineOf } from './line';
import type { Candidate, SoloTask } from './types';

const USUAL_POOL = 40;

/** A candidate with what joins look at. Its pitches are `sketch` and `octaves` more. */
export interface Sketched extends Candidate {
  readonly sketch: Sketch;
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
): readonly Sketched[] {
  const families = new Map(usable.map((i) => [i, familiesOfPhrase(phrases[i]!)]));
  const lines = new Map<string, Moved | null>();
  const all: Sketched[] = [];
  for (let start = 0; start < form.bars.length; start++) {
    const fitting = usable
      .filter((i) => start + phrases[i]!.bars.length <= form.bars.length)
      .map((index) => {
        const window = form.bars.slice(start, start + phrases[index]!.bars.length);
        const suits = alike(families.get(index)!, familiesOfBars(window, form.form.meter));
        return { index, suits, tie: dice(options.seed ?? 0, start, index) };
      })
      .sort((a, b) => b.suits - a.suits || a.tie - b.tie)
      .slice(0, options.pool ?? USUAL_POOL);
    for (const { index, suits } of fitting) {
      const window = form.bars.slice(start, start + phrases[index]!.bars.length);
      const name = `${index} ${JSON.stringify(window)}`;
      const moved = lines.has(name) ? lines.get(name)! : movedTo(phrases[index]!, form, window);
      lines.set(name, moved);
      if (moved !== null) all.push(...placed(moved, { index, start, suits, form, phrases }));
    }
  }
  return all;
}

function alike(a: readonly Family[], b: readonly Family[]): number {
  const same = a.filter((f, i) => f === b[i]).length;
  return a.length === 0 ? 0 : same / a.length;
}

interface Moved {
  readonly requests: readonly MoveRequest[];
  readonly sketch: Sketch;
  readonly lowest: number;
  readonly highest: number;
}

/** The pitches over other chords, by their roles (M2, M4); null where the move is refused. */
function movedTo(p: Phrase, form: LaidForm, bars: LaidForm['bars']): Moved | null {
  const key = { tonic: form.key.tonic, mode: p.key.mode };
  const requests: readonly MoveRequest[] = [
    { to: { kind: 'key', key } },
    { to: { kind: 'lane', bars }, way: 'chord' },
  ];
  const after = pitchesAfter(p, requests);
  if (!after.ok) return null;
  const line = lineOf(after.value);
  if (line.length === 0) return null;
  const midi = line.map((n) => n.midi);
  return {
    requests,
    sketch: sketchOf(line),
    lowest: Math.min(...midi),
    highest: Math.max(...midi),
  };
}

function placed(
  moved: Moved,
  at: Pick<SoloTask, 'form' | 'phrases'> & Pick<Candidate, 'index' | 'start' | 'suits'>,
): readonly Sketched[] {
  const p = at.phrases[at.index]!;
  const strings = p.instrument.tuning.map((_, i) => openMidi(p.instrument, i + 1));
  const low = Math.min(...strings);
  const high = Math.max(...strings) + playableFrets(p.instrument);
  const line = lineOf(p);
  const zero = at.start * meterTicks(at.form.form.meter) - p.pickup;
  const last = line.at(-1)!;
  return [0, 1, -1].flatMap((octaves): Sketched[] => {
    const shift = 12 * octaves;
    if (octaves !== 0 && (moved.lowest + shift < low || moved.highest + shift > high)) return [];
    return [
      {
        index: at.index,
        start: at.start,
        end: at.start + p.bars.length,
        requests:
          octaves === 0
            ? moved.requests
            : [...moved.requests, { to: { kind: 'octaves', octaves } }],
        octaves,
        from: zero + line[0]!.onset,
        until: zero + last.onset + last.duration,
        suits: at.suits,
        sketch: moved.sketch,
      },
    ];
  });
}
