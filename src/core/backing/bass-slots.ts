import type { Ticks } from '../phrase/types';
import type { Chord } from '../theory/chord';
import { chromaOf } from '../theory/pitch';
import { dice } from './dice';
import { type Beat, beatsOf, momentOf, type Place } from './grid';
import type { BackingFeel, BackingForm, BandMoment } from './types';

/** What a note of the bass would best be. */
export type BassWish =
  | 'root'
  | 'octave'
  | 'third'
  | 'fifth'
  | 'sixth'
  | 'seventh'
  | 'walk'
  | 'lead';

/** A moment at which the bass plays, before its pitch is chosen. */
export interface BassSlot extends BandMoment {
  readonly chord: Chord;
  /** The note on the change: the root or the bass of the symbol, whatever was wished. */
  readonly change: boolean;
  /** The first of a bar, which rests on a chord tone. */
  readonly down: boolean;
  /** The last before a change of chord: the chord that it leads to. */
  readonly next: Chord | null;
  readonly wish: BassWish;
  /** The same pitch as the note before. */
  readonly again?: true;
}

/** A note in a pattern: where in the beat, what, and how long: a share of the way to the next note. */
interface Stroke {
  readonly place: Place;
  readonly wish: BassWish;
  readonly level?: number;
  readonly again?: true;
}

/** What is played on each of the four kinds of beat. */
type Cells = readonly [readonly Stroke[], readonly Stroke[], readonly Stroke[], readonly Stroke[]];

const on = (wish: BassWish, level = 0): Stroke => ({ place: 'on', wish, level });
const off = (wish: BassWish, level = -2): Stroke => ({ place: 'and', wish, level });
const again = (place: Place): Stroke => ({ place, wish: 'root', level: -3, again: true });

/** One or more bars; longer patterns go on over the bars of a chord. */
type Pattern = readonly [Cells, ...Cells[]];

/** The patterns of each feel, from plain to busy; a throw of the dice for every chord chooses one (common practice). */
const PATTERNS: Readonly<Record<BackingFeel, readonly [Pattern, ...Pattern[]]>> = {
  straight: [
    [[[on('root', 1)], [off('root')], [on('fifth')], [off('lead')]]],
    [[[on('root', 1), off('root')], [], [on('root')], [on('fifth', -1), off('lead')]]],
    [[[on('root', 1)], [off('fifth')], [on('octave')], [on('fifth', -1)]]],
  ],
  rock: [
    [
      [
        [on('root', 1), off('root')],
        [on('root'), off('root')],
        [on('root'), off('root')],
        [on('root'), off('lead')],
      ],
    ],
    [
      [
        [on('root', 1), off('root')],
        [on('root'), off('root')],
        [on('fifth'), off('fifth')],
        [on('root'), off('lead')],
      ],
    ],
    [[[on('root', 1)], [off('root')], [on('root'), off('root')], [on('octave'), off('lead')]]],
  ],
  shuffle: [
    [
      [[on('root', 1)], [on('third')], [on('fifth')], [on('sixth')]],
      [[on('seventh')], [on('sixth')], [on('fifth')], [on('lead')]],
    ],
    [[[on('root', 1)], [on('third')], [on('fifth')], [on('lead')]]],
    [[[on('root', 1), again('and')], [on('fifth')], [on('sixth'), again('and')], [on('lead')]]],
    [[[on('root', 1)], [on('root', -1), again('and')], [on('fifth')], [on('lead')]]],
  ],
  'twelve-eight': [
    [
      [
        [on('root', 1), off('root')],
        [on('root', -1)],
        [on('fifth'), off('fifth')],
        [on('third', -1), off('lead')],
      ],
    ],
    [[[on('root', 1)], [on('third')], [on('fifth')], [on('sixth'), off('lead')]]],
    [
      [
        [on('root', 1), off('fifth')],
        [on('octave', -1)],
        [on('fifth'), off('third')],
        [on('root', -1), off('lead')],
      ],
    ],
  ],
  swing: [
    [[[on('root', 1)], [on('walk')], [on('walk')], [on('lead')]]],
    [[[on('root', 1)], [on('walk'), again('and')], [on('walk')], [on('lead')]]],
  ],
  bossa: [
    [[[on('root', 1)], [off('fifth')], [on('fifth')], [off('lead')]]],
    [[[on('root', 1)], [off('root')], [on('fifth')], [off('lead')]]],
  ],
  ballad: [
    [[[on('root', 1)], [], [on('fifth')], []]],
    [[[on('root', 1)], [], [on('fifth')], [off('lead')]]],
    [[[on('root', 1)], [], [on('third')], [on('lead', -1)]]],
  ],
};

/** A bar between busy ones: how often each pattern of a feel is thrown, in the order of its list. */
const WEIGHTS: Readonly<Record<BackingFeel, readonly number[]>> = {
  straight: [4, 2, 2],
  rock: [4, 2, 1],
  shuffle: [4, 3, 2, 2],
  'twelve-eight': [4, 2, 2],
  swing: [5, 1],
  bossa: [3, 2],
  ballad: [3, 2, 2],
};

/** Every moment at which the bass plays; N.C. and the pickup are silent. */
export function bassSlots(
  form: BackingForm,
  feel: BackingFeel,
  seed: number,
  loops: boolean,
): readonly BassSlot[] {
  const bars = form.bars.filter((b) => b.number > 0).map((bar) => ({ bar, beats: beatsOf(bar) }));
  const from = bars[0]?.bar.start ?? form.length;
  const slots: BassSlot[] = [];
  // What a form that is played again goes on with: a pickup is silent.
  const first = loops ? form.chords.find((c) => c.end > from) : undefined;
  form.chords.forEach((span, i) => {
    const { chord } = span;
    if (chord === null || span.end <= from) return;
    const start = Math.max(span.start, from);
    const after = form.chords[i + 1] ?? first;
    // Nothing leads to where one is: to the same bass, or to the chord that a form both ends and begins on.
    const next = sameBass(after?.chord ?? null, chord) ? null : (after?.chord ?? null);
    const raw: Raw[] = [];
    const pattern = thrown(feel, seed, start);
    let nth = 0;
    for (const { bar, beats } of bars) {
      if (bar.end <= start || bar.start >= span.end) continue;
      const cells = pattern[nth % pattern.length] ?? pattern[0];
      nth += 1;
      for (const beat of beats) {
        // Of two beats the bass takes both: the second is its other strong one.
        const cell = beats.length === 2 && beat.cell === 1 ? 2 : beat.cell;
        const strokes = strokesOf({ ...beat, cell }, cells);
        raw.push(...strokes.filter((r) => r.at >= start && r.at < span.end));
      }
    }
    raw.sort((a, b) => a.at - b.at);
    // Whatever the pattern: something sounds on the change.
    if (raw[0]?.at !== start)
      raw.unshift({ at: start, stroke: on('root', 1), down: false, beat: 0 });
    raw.forEach((r, k) => {
      const last = k === raw.length - 1;
      const wish = wishOf(r.stroke, feel, last && k > 0 && next !== null);
      slots.push({
        at: r.at,
        end: raw[k + 1]?.at ?? span.end,
        level: r.stroke.level ?? 0,
        ...(r.tuplet ? { tuplet: true } : {}),
        chord,
        change: k === 0,
        down: r.down,
        // What leads is short: a strange note for more than a beat is heard as a wrong one.
        next: last && k > 0 && span.end - r.at <= r.beat ? next : null,
        wish,
        ...(r.stroke.again && k > 0 ? { again: true } : {}),
      });
    });
  });
  return slots;
}

/** Feels that walk lead to every change, wherever their pattern is cut off by it. */
function wishOf(stroke: Stroke, feel: BackingFeel, leads: boolean): BassWish {
  if (leads && !stroke.again && WALKING.has(feel)) return 'lead';
  if (stroke.wish !== 'lead' || leads) return stroke.wish;
  // In a bossa the last half of a bar is the root that comes early (common practice).
  return feel === 'bossa' ? 'root' : 'walk';
}

const WALKING: ReadonlySet<BackingFeel> = new Set(['shuffle', 'swing']);

function sameBass(a: Chord | null, b: Chord): boolean {
  return a !== null && chromaOf(a.bass ?? a.root) === chromaOf(b.bass ?? b.root);
}

interface Raw {
  readonly at: Ticks;
  readonly tuplet?: true;
  readonly stroke: Stroke;
  readonly down: boolean;
  /** Length of its beat. */
  readonly beat: Ticks;
}

function strokesOf(beat: Beat, cells: Cells): readonly Raw[] {
  return cells[beat.cell].flatMap((stroke) => {
    const moment = momentOf(beat, stroke.place);
    const down = beat.first && stroke.place === 'on';
    return moment === null ? [] : [{ ...moment, stroke, down, beat: beat.end - beat.at }];
  });
}

function thrown(feel: BackingFeel, seed: number, at: Ticks): Pattern {
  const weights = WEIGHTS[feel];
  let rest = dice(seed, 'bass', at) * weights.reduce((sum, w) => sum + w, 0);
  for (const [i, pattern] of PATTERNS[feel].entries()) {
    rest -= weights[i] ?? 0;
    if (rest < 0) return pattern;
  }
  return PATTERNS[feel][0];
}
