import { dice } from '../backing/dice';
import type { LaidForm } from '../form/lay';
import { HIGHEST_FRET } from '../neck/from-hand';
import { openMidi } from '../phrase/instrument';
import { shownTitle } from '../phrase/record';
import type { Phrase } from '../phrase/types';
import { fail, ok, type Result } from '../result';
import { alike, familiesOfBars, familiesOfPhrase } from './families';
import type { PhrasePin } from './pins';
import type { Placer, Sketched } from './placer';
import { wishesMet } from './taste';
import type { SoloTask } from './types';

export const USUAL_POOL = 40;

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
    const wished = wishesMet(p, options.taste?.wishes ?? []);
    const name = `${p.bars.length} ${families} ${wished}`;
    const group = groups.get(name);
    if (group !== undefined) group.members.push(i);
    else groups.set(name, { bars: p.bars.length, families, wished, members: [i] });
  }
  return form.bars.flatMap((_, start) =>
    bestAt(placer, start, [...groups.values()], pool, seed).flatMap(({ index, suits }) => {
      const placed = placer.at(index, start, suits);
      return placed.ok ? placed.value.filter((c) => isInReach(c, phrases[index]!)) : [];
    }),
  );
}

/**
 * Whether a candidate lies on the neck, and no higher than is proposed unasked: what was not written beyond
 * `HIGHEST_FRET` does not go there, and nothing does that sounds an octave higher than it would go.
 */
export function isInReach({ octaves, sketch, stopped }: Sketched, { instrument }: Phrase): boolean {
  const strings = instrument.tuning.map((_, i) => openMidi(instrument, i + 1));
  const shift = 12 * octaves;
  const highest = Math.max(...strings) + HIGHEST_FRET;
  if (sketch.lowest + shift < Math.min(...strings) || stopped + shift > highest) return false;
  return octaves <= 0 || sketch.highest + shift <= highest;
}

const WISHED_FIRST = 0.35;

/** Phrases that hear the same in their chords: at a bar they suit equally well. */
interface Group {
  readonly bars: number;
  readonly families: string;
  /** Share of the wishes they have. */
  readonly wished: number;
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
  const byRank = new Map<number, { readonly suits: number; readonly of: Group[] }>();
  for (const group of groups) {
    if (start + group.bars > form.bars.length) continue;
    const window = form.bars.slice(start, start + group.bars);
    const suits = alike(group.families, familiesOfBars(window, form.form.meter));
    // What has all that is wished for goes before what suits a third better.
    const rank = suits + WISHED_FIRST * group.wished;
    byRank.set(rank + suits / 1e6, {
      suits,
      of: [...(byRank.get(rank + suits / 1e6)?.of ?? []), group],
    });
  }
  const chosen: { index: number; suits: number }[] = [];
  for (const [, { suits, of: equal }] of [...byRank].sort((a, b) => b[0] - a[0])) {
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
  const placed = placer.at(pin.index, pin.start, suitsAt(form, phrase, pin.start));
  const bar = pin.start + 1;
  const name = `“${shownTitle(phrase.meta)}” cannot stand there`;
  if (!placed.ok) {
    return fail({ message: `${name}: ${placed.problems[0]?.message ?? ''}`, bar });
  }
  const open = placed.value.filter((c) => (pin.octaves ?? c.octaves) === c.octaves);
  if (open.length > 0) return ok(open);
  return fail({ message: `${name}: in that octave it does not lie on the neck`, bar });
}
