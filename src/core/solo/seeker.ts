import { dice } from '../backing/dice';
import { shownTitle } from '../phrase/record';
import { meterTicks } from '../phrase/time';
import { fail, ok, type Result } from '../result';
import { candidatesFor, candidatesOfPin, USUAL_POOL } from './candidates';
import type { Chosen } from './chosen';
import { hurriesBetween } from './hand';
import { phrasePins } from './pins';
import type { Placer, Sketched } from './placer';
import { Playing } from './playing';
import { BAR_LEFT, EMPTY_BAR, EMPTY_BAR_AFTER_TWO, Scores } from './scores';
import { Twins } from './twins';
import type { SoloTask } from './types';
import { Ways } from './way';

/** How often a way is sought again before what is left stays empty. */
const MOST_TRIES = 200;

/**
 * From this try on all that stands too often goes at once, and not one place a try: choruses of 32 bars
 * take up to 31 tries, eight of them in a row took more than all, and minutes (`README.md`).
 */
const MANY_TRIES = 32;

/**
 * Over more bars than these, where no way is found in which each phrase stands as seldom as it could, twice and four
 * times as often is tried before more bars are left empty, which takes minutes over so many (*ours*).
 */
const LONG = 32;
const OFTENER = [1, 2, 4];

/** Tries for each of them. */
const TRIES_OF_LONG = 64;

/** Finds ways through one form with one list of phrases and one set of pins. */
export class Seeker {
  /** Pins are the last ones. */
  readonly all: readonly Sketched[];
  private readonly scores: Scores;
  private readonly pinned = new Set<Sketched>();
  /** Pins by their bars. */
  private readonly pinAt = new Map<number, readonly Sketched[]>();
  private readonly resting: ReadonlySet<number>;
  private readonly playing: Playing;
  private readonly twins: Twins;
  /** How often a phrase may stand in a chorus. */
  readonly most: number;
  /** Only so many were weighed for each bar; null where that was all. */
  readonly weighed: number | null;
  private readonly ways = new Map<number, Ways>();

  private constructor(
    private readonly task: SoloTask,
    placer: Placer,
    usable: readonly number[],
    base: readonly Sketched[],
    pins: readonly (readonly Sketched[])[],
  ) {
    const { form, options } = task;
    for (const pin of pins) {
      for (const c of pin) this.pinned.add(c);
      this.pinAt.set(pin[0]!.start, pin);
    }
    // A pin that is a candidate as well is one stretch, not two.
    const isPin = (c: Sketched) => this.pinAt.get(c.start)?.some((p) => p.index === c.index);
    this.all = [...base.filter((c) => !isPin(c)), ...pins.flat()];
    this.scores = new Scores(task, this.all, this.pinned);
    this.playing = new Playing(placer);
    this.twins = new Twins(placer.phrases, (start, bars) => placer.windowAt(start, bars));
    this.resting = new Set(
      (options.pins ?? []).flatMap((p) => (p.index === null ? [p.start] : [])),
    );
    const few = Math.ceil(form.bars.length / 2 / Math.max(1, usable.length));
    this.most = options.most ?? Math.max(1, few);
    const { pool = USUAL_POOL } = options;
    this.weighed = usable.length > pool ? pool : null;
  }

  /** @returns Or which pin cannot stand where it is. */
  static of(task: SoloTask, usable: readonly number[], placer: Placer): Result<Seeker> {
    const pins: (readonly Sketched[])[] = [];
    for (const pin of phrasePins(task.options)) {
      const found = candidatesOfPin(task, pin, placer);
      if (!found.ok) return found;
      pins.push(found.value);
    }
    const base = task.options.fill === false ? [] : candidatesFor(task, usable, placer);
    return ok(new Seeker(task, placer, usable, base, pins));
  }

  /**
   * A way whose phrases can all be played and stand no more often than asked: the best, or one drawn
   * by a seed. Where none leaves at most a bar empty between two phrases, one that leaves more.
   * @returns Null where nothing can stand anywhere; or why a pin cannot be played.
   */
  seek(seed: number | null): Result<readonly Chosen[] | null> {
    const { options, form } = this.task;
    const long = form.bars.length > LONG && options.most === undefined;
    const tries = long ? TRIES_OF_LONG : MOST_TRIES;
    for (const oftener of long ? OFTENER : [1]) {
      const usual = this.seekWith(seed, 1, oftener * this.most, tries);
      if (!usual.ok || usual.value !== null) return usual;
    }
    return this.seekWith(seed, form.bars.length, this.most, tries);
  }

  private seekWith(
    seed: number | null,
    mostRest: number,
    most: number,
    tries: number,
  ): Result<readonly Chosen[] | null> {
    const ways = this.waysWith(mostRest);
    const open = this.all.map((c) => this.mayStand(c));
    for (let t = 0; t < tries; t++) {
      let throws = 0;
      const way = ways.find({
        allowed: (i) => open[i]!,
        draw: seed === null ? null : () => dice(seed, 'way', throws++),
      });
      if (way === null) return ok(null);
      const out = this.unfit(way, most, t >= MANY_TRIES);
      if (out === null) return ok(this.placed(way));
      this.all.forEach((c, i) => {
        if (out(c, i)) open[i] = false;
      });
      const lost = this.lostPin(open);
      if (lost !== null) return lost;
    }
    return ok(null);
  }

  /**
   * All that may stand, by the best way that has it, the best first.
   * @param wanted What is to be ranked: other places may have more that could stand there.
   */
  ranked(
    wanted: (c: Sketched) => boolean,
  ): readonly { readonly candidate: Sketched; readonly worth: number }[] {
    const of = (mostRest: number) => {
      const worths = this.waysWith(mostRest).through(
        (i) => this.mayStand(this.all[i]!),
        (i) => wanted(this.all[i]!),
      );
      return this.all
        .map((candidate, i) => ({ candidate, worth: worths[i]! }))
        .filter(({ candidate, worth }) => worth > -Infinity && wanted(candidate))
        .sort((a, b) => b.worth - a.worth);
    };
    const usual = of(1);
    return usual.length > 0 ? usual : of(this.task.form.bars.length);
  }

  /** What is pinned next to a place, on either side; before it where the hand comes to it. */
  pinnedAround({ start, end }: Sketched): { before: Chosen | null; after: Chosen | null } {
    const pins = [...this.pinAt.values()].map((p) => p[0]!).sort((a, b) => a.start - b.start);
    const chosen = (c: Sketched) => {
      const made = this.chosen(c);
      return made.ok ? [made.value] : [];
    };
    const before = this.playing.fromHand.along(pins.filter((p) => p.end <= start).flatMap(chosen));
    const [after] = pins.filter((p) => p.start >= end).flatMap(chosen);
    return { before: before.at(-1) ?? null, after: after ?? null };
  }

  /** What could stand behind something, where the hand comes to it. */
  placedAfter(before: Chosen | null, next: Chosen): Chosen {
    return this.playing.fromHand.after(before, next);
  }

  private waysWith(mostRest: number): Ways {
    const found =
      this.ways.get(mostRest) ??
      new Ways({
        bars: this.task.form.bars.length,
        stretches: this.all,
        score: (a, b) => this.scores.of(a, b),
        scoreAfterTwo: (e, a) => this.scores.afterTwo(e, a),
        rest: EMPTY_BAR,
        restAfterTwo: EMPTY_BAR_AFTER_TWO,
        emptyBar: BAR_LEFT,
        mostRest,
        resting: this.resting,
        begins: new Set(this.pinAt.keys()),
      });
    this.ways.set(mostRest, found);
    return found;
  }

  /** Whether one can come behind another. */
  follows(before: Sketched, next: Sketched): boolean {
    return this.scores.of(this.all.indexOf(before), this.all.indexOf(next)) > -Infinity;
  }

  /** Where a pin stands nothing else begins, and what is not wanted does not. */
  mayStand(c: Sketched): boolean {
    if (this.pinned.has(c)) return true;
    if (this.pinAt.has(c.start)) return false;
    const { exclude = [] } = this.task.options;
    return !exclude.some((e) => e.start === c.start && e.index === c.index);
  }

  /** What must go before the way is sought again; null where all is well. */
  private unfit(
    way: readonly number[],
    most: number,
    all: boolean,
  ): ((c: Sketched, i: number) => boolean) | null {
    for (const i of way) {
      const c = this.all[i]!;
      if (this.chosen(c).ok) continue;
      if (this.pinned.has(c)) return (_, other) => other === i;
      // Each of its twins would be tried, and fail, in turn.
      return (d, other) => other === i || (!this.pinned.has(d) && this.twins.are(c, d));
    }
    const placed = this.placed(way);
    for (const [k, i] of way.entries()) {
      const before = way[k - 1];
      if (before === undefined || !this.hurriesFrom(placed[k - 1]!, placed[k]!)) continue;
      // What is pinned stays.
      const out = this.isPin(i) === 0 ? i : before;
      if (this.isPin(out) === 0) return (_, other) => other === out;
    }
    const surplus = this.surplus(way, most);
    if (surplus.length === 0) return null;
    const out = new Set(surplus.slice(0, all ? undefined : 1).map(placeOf));
    return (c) => out.has(placeOf(c)) && !this.pinned.has(c);
  }

  /** What stands more often than asked; what is pinned stays, so it counts first. */
  private surplus(way: readonly number[], most: number): readonly Sketched[] {
    const seen = new Map<number, number>();
    const pinsFirst = [...way].sort((a, b) => this.isPin(b) - this.isPin(a) || a - b);
    return pinsFirst.flatMap((i) => {
      const c = this.all[i]!;
      const n = (seen.get(c.index) ?? 0) + 1;
      const over = n > most && this.isPin(i) === 0;
      if (!over) seen.set(c.index, n);
      return over ? [c] : [];
    });
  }

  /** Whether the hand has no time between two that follow each other. */
  private hurriesFrom(a: Chosen, b: Chosen): boolean {
    const { meter, tempo } = this.task.form.form;
    const zero = (c: Chosen) => c.candidate.start * meterTicks(meter) - c.phrase.pickup;
    return hurriesBetween(a.hand, b.hand, zero(b) - zero(a), tempo);
  }

  private isPin(i: number): 0 | 1 {
    return this.pinned.has(this.all[i]!) ? 1 : 0;
  }

  private lostPin(open: readonly boolean[]): Result<never> | null {
    const left = new Set(this.all.filter((_, i) => open[i]));
    for (const [start, pin] of this.pinAt) {
      if (pin.some((c) => left.has(c))) continue;
      const why = this.chosen(pin[0]!);
      const name = `“${shownTitle(this.task.phrases[pin[0]!.index]!.meta)}”`;
      const reason = why.ok ? 'it cannot be played there' : why.problems[0]!.message;
      return fail({
        message: `${name} cannot stand there: ${reason}`,
        bar: start + 1,
      });
    }
    return null;
  }

  /** A way of which all can be played, each where the hand comes to it. */
  private placed(way: readonly number[]): readonly Chosen[] {
    return this.playing.fromHand.along(way.map((i) => this.played(this.all[i]!)));
  }

  private played(c: Sketched): Chosen {
    const chosen = this.chosen(c);
    if (!chosen.ok) throw new RangeError(chosen.problems[0]!.message);
    return chosen.value;
  }

  /** A candidate on the neck; each is made once. */
  chosen(candidate: Sketched): Result<Chosen> {
    return this.playing.of(candidate, this.pinned.has(candidate));
  }
}

/** A phrase at a bar, in whatever octave. */
const placeOf = ({ index, start }: Sketched) => `${index} ${start}`;
