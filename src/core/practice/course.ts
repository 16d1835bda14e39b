import type { Phrase } from '../phrase/types';
import { ok, type Result } from '../result';
import type { BackingParts, StringPart } from '../sound/parts';
import type { Seconds } from '../sound/types';
import { clicksBefore, clicksOver } from './beats';
import { countInOf, isWithin, type Played, partWithin, playedOf } from './played';
import { withSwing } from './swing-ratio';
import { isTake, type Takes, takesOf } from './takes';
import type { LeftOut, Practice, Step, StepKind, Take } from './types';

/** Everything that is played one after the other, as a rule that says what follows what. */
export interface Course {
  readonly first: Step;
  /**
   * The step in which a round is played, or the next one that can be; for going on in the middle.
   * @param speed Percent; that of the first round where absent.
   */
  readonly at: (round: number, speed?: number) => Step;
  /**
   * What follows a step; null at the end.
   * @param good Somebody said that the round was good.
   */
  readonly after: (step: Step, good: boolean) => Step | null;
  readonly takes: Takes;
}

/**
 * What accompanies a take from its beginning, at a speed (1 as written), with its repeats or the bars
 * once as they stand.
 */
export type Accompany = (p: Phrase, o: { speed: number; repeats: boolean }) => BackingParts;

/**
 * The course of practice on a phrase. Pure: the same phrase, the same wishes and the same words about
 * its rounds give the same course, to the sample.
 * @param accompany What is heard with every take.
 * @returns Or what is wrong with the cycle.
 */
export function courseOf(
  p: Phrase,
  practice: Practice,
  accompany: Accompany | null = null,
): Result<Course> {
  const takes = takesOf(withSwing(p, practice.swing), practice.cycle);
  if (!takes.ok) return takes;
  const maker = new Maker(practice, takes.value, accompany);
  return ok({
    first: maker.first(),
    at: (round, speed) => maker.at(round, speed),
    after: (step, good) => maker.after(step, good),
    takes: takes.value,
  });
}

class Maker {
  constructor(
    private readonly practice: Practice,
    private readonly takes: Takes,
    private readonly accompany: Accompany | null,
  ) {}

  first(): Step {
    const { practice } = this;
    const place = this.playable(0)!;
    const kind = practice.countIn === 0 ? 'play' : 'count-in';
    return this.step(kind, place, practice.speed);
  }

  at(round: number, speed = this.practice.speed): Step {
    return this.step('play', this.playable(round)!, speed);
  }

  after(step: Step, good: boolean): Step | null {
    const { practice } = this;
    if (step.kind === 'count-in') return this.step('play', step.round, step.speed);
    if (step.kind === 'play' && practice.answer) return this.step('answer', step.round, step.speed);
    const place = this.following(step.round);
    return place === null ? null : this.step('play', place, this.faster(step.speed, good));
  }

  private faster(speed: number, good: boolean): number {
    const { stepUp } = this.practice;
    if (stepUp === null || (stepUp.after === 'a good round' && !good)) return speed;
    return Math.max(speed, Math.min(stepUp.to, speed + stepUp.by));
  }

  /** The next round that has a take; null where the course is at its end. */
  private following(round: number): number | null {
    const { endless } = this.practice;
    const next = this.playable(round + 1);
    return next === null || (!endless && next >= this.takes.count) ? null : next;
  }

  private playable(from: number): number | null {
    for (let i = from; i < from + this.takes.count; i++) if (isTake(this.takes.at(i))) return i;
    return null;
  }

  private passedOver(round: number, following: number | null): readonly LeftOut[] {
    const { endless } = this.practice;
    const end = following ?? (endless ? round + 1 : this.takes.count);
    const between: LeftOut[] = [];
    for (let i = round + 1; i < end; i++) {
      const take = this.takes.at(i);
      if (!isTake(take)) between.push(take);
    }
    return between;
  }

  private take(round: number): Take {
    const take = this.takes.at(round);
    if (!isTake(take)) throw new RangeError(`round ${round} has no take`);
    return take;
  }

  private step(kind: StepKind, round: number, speed: number): Step {
    const { practice } = this;
    const take = this.take(round);
    const following = this.following(round);
    const next = following === null ? null : this.take(following);
    const head = { kind, round, speed, take, next, leftOut: this.passedOver(round, following) };
    const played = playedOf(take.phrase, practice, speed);
    if (kind === 'count-in') {
      const count = countInOf(take.phrase, practice);
      const perTick = played.secondsPerTick;
      return {
        ...head,
        length: count.length * perTick,
        sounds: [],
        heard: false,
        clicks: clicksBefore(take.phrase, count.meter, count.offset, count.length, perTick),
        backing: null,
        secondsPerTick: perTick,
        from: played.from,
      };
    }
    const { click } = practice;
    return {
      ...head,
      length: played.ticks * played.secondsPerTick,
      sounds: kind === 'play' ? played.sounds : [],
      heard: kind === 'play' && practice.phrase,
      clicks:
        click === null
          ? []
          : clicksOver(take.phrase, played.passes, played.ticks, click, played.secondsPerTick),
      backing: this.backing(take.phrase, speed, played),
      secondsPerTick: played.secondsPerTick,
      from: played.from,
    };
  }

  private backing(p: Phrase, speed: number, played: Played): BackingParts | null {
    if (this.accompany === null) return null;
    const repeats = this.practice.stretch === null;
    const all = this.accompany(p, { speed: speed / 100, repeats });
    const { from, ticks, secondsPerTick } = played;
    return within(all, from * secondsPerTick, ticks * secondsPerTick);
  }
}

/** What of an accompaniment falls into a stretch, its onsets counted from there. */
function within(b: BackingParts, from: Seconds, length: Seconds): BackingParts {
  const part = (s: StringPart | null) => (s === null ? null : partWithin(s, from, length));
  return {
    bass: part(b.bass),
    comping: part(b.comping),
    drums: b.drums
      .filter((d) => isWithin(d.onset, from, length))
      .map((d) => ({ ...d, onset: Math.max(0, d.onset - from) })),
  };
}
