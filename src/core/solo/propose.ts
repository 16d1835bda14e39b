import { dice } from '../backing/dice';
import { joinFeatures, joinScore } from '../joins/join';
import { joinWords } from '../joins/words';
import { movePhraseOn } from '../move/move';
import type { Moved } from '../move/request';
import { checkPlayable } from '../neck/playable';
import { beatTicks } from '../phrase/time';
import type { Phrase, Ticks } from '../phrase/types';
import { fail, ok, type Result } from '../result';
import { checkPhrase } from '../validity/check-phrase';
import { assemble, type Frame, type Laid } from './assemble';
import { candidatesFor, type Sketched } from './candidates';
import { lineOf } from './line';
import type { Solo, SoloPart, SoloTask } from './types';
import { nothingUsable, usablePhrases } from './usable';
import { findWay } from './way';

/** A join of two phrases taken at random, on the scale of `joinScore`: what an empty bar counts. */
const RANDOM_JOIN = 0.8;

/** What keeping every role counts, on the same scale. */
const SUITS = 2;

/** Half a beat is the shortest rest in real solos; longer than four beats are rare (5% and 90%). */
const SHORTEST_REST = 0.5;
const LONG_REST = 4;

/** How often a way is sought again before what is left stays empty. */
const MOST_TRIES = 200;

/**
 * Fills a form with phrases: for each chorus the best way through it, or one that is drawn in
 * proportion. Choruses differ.
 * @returns At most `count` choruses, fewer where there are no more; or why there is none.
 */
export function proposeSolos(
  task: SoloTask,
  frame: (number: number) => Frame,
): Result<readonly Solo[]> {
  const { form, phrases, options } = task;
  const usable = usablePhrases(phrases, form, options);
  if (usable.length === 0) {
    return fail({ message: nothingUsable(form), fix: 'Give others, or another form.' });
  }
  const candidates = candidatesFor(task, usable);
  const most = options.most ?? Math.max(1, Math.ceil(form.bars.length / 2 / usable.length));
  const seeker = new Seeker(task, candidates, most);
  const solos: Solo[] = [];
  const known = new Set<string>();
  const count = options.count ?? 1;
  for (let n = 0; solos.length < count && n < 3 * count; n++) {
    // Without a seed the first is the best, and the others are drawn.
    const seed = options.seed === undefined ? (n === 0 ? null : n) : options.seed + n;
    const chosen = seeker.seek(seed);
    if (chosen === null) continue;
    const name = chosen.map((c) => `${c.candidate.index}:${c.candidate.start}`).join(' ');
    if (known.has(name)) continue;
    known.add(name);
    solos.push(soloOf(task, chosen, frame(solos.length + 1)));
  }
  if (solos.length > 0) return ok(solos);
  return fail({
    message: 'no way leads through the form with these phrases',
    fix: 'Give more phrases, or let each stand more often.',
  });
}

/** A phrase that was moved and fingered where it stands. */
interface Chosen extends Laid {
  readonly candidate: Sketched;
  readonly moved: Moved;
}

class Seeker {
  private readonly scores = new Map<number, number>();
  private readonly made = new Map<Sketched, Chosen | null>();
  private readonly beat: Ticks;

  constructor(
    private readonly task: SoloTask,
    private readonly all: readonly Sketched[],
    private readonly most: number,
  ) {
    this.beat = beatTicks(task.form.form.meter);
  }

  /** A way whose phrases can all be played and stand no more often than asked. */
  seek(seed: number | null): readonly Chosen[] | null {
    let left = this.all.map((_, i) => i);
    for (let t = 0; t < MOST_TRIES; t++) {
      let throws = 0;
      const way = findWay({
        bars: this.task.form.bars.length,
        stretches: left.map((i) => this.all[i]!),
        score: (a, b) => this.score(a === null ? null : left[a]!, left[b]!),
        rest: RANDOM_JOIN,
        draw: seed === null ? null : () => dice(seed, 'way', throws++),
      });
      if (way === null) return null;
      const places = way.map((w) => left[w]!);
      const out = this.unfit(places);
      if (out === null) return places.map((i) => this.chosen(this.all[i]!)!);
      left = left.filter((i) => !out(this.all[i]!, i));
    }
    return null;
  }

  /** What must go before the way is sought again; null where all is well. */
  private unfit(places: readonly number[]): ((c: Sketched, i: number) => boolean) | null {
    for (const i of places) {
      if (this.chosen(this.all[i]!) === null) return (_, other) => other === i;
    }
    const seen = new Map<number, number>();
    for (const i of places) {
      const { index, start } = this.all[i]!;
      const n = (seen.get(index) ?? 0) + 1;
      if (n > this.most) return (c) => c.index === index && c.start === start;
      seen.set(index, n);
    }
    return null;
  }

  private chosen(candidate: Sketched): Chosen | null {
    const known = this.made.get(candidate);
    if (known !== undefined) return known;
    const made = make(this.task.phrases[candidate.index]!, candidate);
    this.made.set(candidate, made);
    return made;
  }

  private score(before: number | null, next: number): number {
    const key = ((before ?? -1) + 1) * (this.all.length + 1) + next;
    const known = this.scores.get(key);
    if (known !== undefined) return known;
    const score = this.reckon(before === null ? null : this.all[before]!, this.all[next]!);
    this.scores.set(key, score);
    return score;
  }

  private reckon(before: Sketched | null, next: Sketched): number {
    const suits = SUITS * next.suits;
    // A solo begins where its phrase lies by itself.
    if (before === null) return suits - Math.abs(next.octaves);
    const beats = (next.from - before.until) / this.beat;
    if (beats < 0 || before.index === next.index) return Number.NEGATIVE_INFINITY;
    const rest = 0.5 * Math.max(0, beats - LONG_REST) + (beats < SHORTEST_REST ? 0.5 : 0);
    return joinScore(featuresOf(before, next)) + suits - rest;
  }
}

function featuresOf(before: Sketched, next: Sketched) {
  return joinFeatures(before.sketch, next.sketch, 12 * (next.octaves - before.octaves));
}

/** Null where it cannot be played there, or lands in another octave than was weighed. */
function make(p: Phrase, candidate: Sketched): Chosen | null {
  const moved = movePhraseOn(p, candidate.requests);
  if (!moved.ok || moved.value.report.unplayable.length > 0) return null;
  const first = lineOf(moved.value.phrase)[0];
  if (first?.midi !== candidate.sketch.midi[0]! + 12 * candidate.octaves) return null;
  return { candidate, phrase: moved.value.phrase, moved: moved.value };
}

function soloOf({ form, phrases }: SoloTask, chosen: readonly Chosen[], frame: Frame): Solo {
  const parts = chosen.map(({ candidate, moved }, i): SoloPart => {
    const before = chosen[i - 1]?.candidate;
    const roles = candidate.suits === 1 ? ['its own chords are like these'] : [];
    return {
      firstBar: candidate.start + 1,
      lastBar: candidate.end,
      phrase: phrases[candidate.index]!,
      octaves: candidate.octaves,
      report: moved.report,
      why: before === undefined ? roles : [...joinWords(featuresOf(before, candidate)), ...roles],
    };
  });
  const filled = new Set(chosen.flatMap((c) => barsOf(c.candidate)));
  const empty = form.bars.flatMap((_, i) =>
    filled.has(i) ? [] : [{ bar: i + 1, why: 'a bar of rest joins better than any phrase' }],
  );
  const notes = parts.map((p) => `${barsInWords(p)}: “${p.phrase.meta.title}”`).join('\n');
  const meta = { ...frame.meta, notes };
  return { phrase: assemble(form, chosen, { ...frame, meta }), parts, empty };
}

const barsOf = (c: Sketched) => Array.from({ length: c.end - c.start }, (_, i) => c.start + i);

/** 'Bar 3' or 'Bars 3 to 4'. */
export function barsInWords({ firstBar, lastBar }: SoloPart): string {
  return firstBar === lastBar ? `Bar ${firstBar}` : `Bars ${firstBar} to ${lastBar}`;
}

/** What a solo breaks as a whole: rules of the phrase and of the neck, in words; empty where it is sound. */
export function faultsOf(p: Phrase): readonly string[] {
  return [...checkPhrase(p), ...checkPlayable(p)].map((x) => x.message);
}
