import { layForm } from '../../core/form/lay';
import { MOST_CHORUSES, repeatForm } from '../../core/form/repeat';
import type { Form } from '../../core/form/types';
import type { LaneChord } from '../../core/move/request';
import { barSpans, beatTicks } from '../../core/phrase/time';
import type { Phrase } from '../../core/phrase/types';
import { suitsAt } from '../../core/solo/candidates';
import { whyNotInForm } from '../../core/solo/usable';
import { samePitchClass } from '../../core/theory/pitch';
import { chordSpans, spanAt } from '../../core/understand/owner';
import { titleOf } from '../shared/facts';
import { problemText } from '../shared/words';
import { type Bench, type Held, readBench, withPlayed, writeBench } from './bench';
import { METERS } from './bench-course';

/** What comes of phrases that somebody wants on a form. */
export interface LaidFirst {
  readonly bench: Bench;
  /** What could not be laid, each with the reason. */
  readonly left: readonly string[];
}

/**
 * A bench with these phrases on it, pinned: over the form in which the first of them in the commonest metre is most at home, in its own key; each where
 * its own chords are those of the bars, as far as there are such and they are free.
 * @param phrases At least one.
 */
export function layFirst(phrases: readonly Phrase[], forms: readonly Form[]): LaidFirst {
  const bench = benchFor(firstOfMost(phrases), forms);
  const one = layForm(bench.form, bench.key.tonic);
  if (!one.ok) return { bench, left: one.problems.map(problemText) };
  const wanted = phrases.filter((p) => whyNotInForm(p, one.value) === null);
  const left = phrases.flatMap((p) => {
    const why = whyNotInForm(p, one.value);
    return why === null ? [] : [`“${titleOf(p)}”: ${why}`];
  });
  const all = wanted.reduce((sum, p) => sum + p.bars.length, 0);
  const fewest = Math.max(1, Math.ceil(all / one.value.bars.length));
  for (let choruses = Math.min(fewest, MOST_CHORUSES); ; choruses++) {
    const held = heldOn(wanted, { ...bench, choruses });
    if (held.length < wanted.length && choruses < MOST_CHORUSES) continue;
    const laid = new Set(held.map((h) => h.id));
    const over = wanted.filter((p) => !laid.has(p.id));
    return {
      bench: { ...bench, choruses, held },
      left: [
        ...left,
        ...over.map((p) => `“${titleOf(p)}”: the form has no room for ${all} bars of phrases`),
      ],
    };
  }
}

/** The first phrase in the metre that most of them are in: by another few could be laid. */
function firstOfMost(phrases: readonly Phrase[]): Phrase {
  const metre = (p: Phrase) => `${p.bars[0]!.meter.beats}/${p.bars[0]!.meter.beatType}`;
  const count = (p: Phrase) => phrases.filter((other) => metre(other) === metre(p)).length;
  return phrases.reduce((best, p) => (count(p) > count(best) ? p : best));
}

/** The form in which a phrase is most at home, in the phrase's key. */
function benchFor(p: Phrase, forms: readonly Form[]): Bench {
  const { meter } = p.bars[0]!;
  const inMeter = (f: Form) => f.meter.beats === meter.beats && f.meter.beatType === meter.beatType;
  let best: { readonly form: Form; readonly worth: number } | null = null;
  for (const form of forms.filter(inMeter)) {
    const laid = layForm(form, p.key.tonic);
    if (!laid.ok) continue;
    const at = laid.value.bars.map((_, i) =>
      worthAt(p, laid.value.bars, i, suitsAt(laid.value, p, i)),
    );
    // The mode counts as much as one chord of two: a phrase in minor goes over a form in minor.
    const worth = Math.max(0, ...at) + (form.mode === p.key.mode ? 0.5 : 0);
    if (best === null || worth > best.worth) best = { form, worth };
  }
  const base = readBench({}, best === null ? forms : [best.form, ...forms]);
  const key = { tonic: p.key.tonic, mode: base.form.mode };
  const counted = METERS.find((m) => m.beats === meter.beats && m.beatType === meter.beatType);
  const played =
    best === null && counted !== undefined ? withPlayed(base, { meter: counted }) : base;
  return { ...played, key };
}

/** Where phrases lie, one after the other at the best place that is free. */
function heldOn(phrases: readonly Phrase[], bench: Bench): readonly Held[] {
  const one = layForm(bench.form, bench.key.tonic);
  if (!one.ok) return [];
  const form = repeatForm(one.value, bench.choruses);
  const taken = new Set<number>();
  const held: Held[] = [];
  for (const p of phrases) {
    let best: { readonly start: number; readonly worth: number } | null = null;
    for (let start = 0; start + p.bars.length <= form.bars.length; start++) {
      if (p.bars.some((_, i) => taken.has(start + i))) continue;
      const worth = worthAt(p, form.bars, start, suitsAt(form, p, start));
      if (best === null || worth > best.worth) best = { start, worth };
    }
    if (best === null) continue;
    for (let i = 0; i < p.bars.length; i++) taken.add(best.start + i);
    held.push({ bar: best.start + 1, id: p.id, octaves: null, pinned: true });
  }
  return held.sort((a, b) => a.bar - b.bar);
}

/**
 * How much a phrase is at home on some bars, 0 to 2: kinds of chords that are the same, and roots that are.
 * @param suits The first, which is known for every bar.
 */
function worthAt(
  p: Phrase,
  bars: readonly (readonly LaneChord[])[],
  start: number,
  suits: number,
): number {
  const spans = chordSpans(p);
  let same = 0;
  let beats = 0;
  for (const { bar, start: at, end, number } of barSpans(p)) {
    if (number === 0) continue;
    const over = bars[start + number - 1];
    if (over === undefined) return 0;
    const beat = beatTicks(bar.meter);
    const count = Math.max(1, Math.round((end - at) / beat));
    for (let i = 0; i < count; i++) {
      beats++;
      const theirs = over[Math.floor((i * over.length) / count)] ?? null;
      const own = spanAt(spans, at + i * beat);
      const root = own === null ? p.key.tonic : (own.chord?.root ?? null);
      if (theirs !== null && root !== null && samePitchClass(theirs.root, root)) same++;
    }
  }
  return suits + (beats === 0 ? 0 : same / beats);
}

/** The ids that an address asks to be laid; none where it asks for nothing. */
export const askedToLay = (lay: string | undefined): readonly string[] =>
  (lay ?? '').split(' ').filter((id) => id !== '');

/** The address of what was laid, as a query. */
export const queryOf = ({ bench }: LaidFirst) => ({ ...writeBench(bench), lay: '' });
