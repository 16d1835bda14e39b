import type { Phrase, Tempo } from '../phrase/types';
import { fail, ok, type Result } from '../result';
import type { Chosen } from './chosen';
import { FromHand } from './from-hand';
import { handIn } from './hand';
import { lineOf } from './line';
import type { Placer, Sketched } from './placer';

/** Candidates on the neck; each is fingered once. */
export class Playing {
  private readonly made = new Map<Sketched, Result<Chosen>>();
  /** How often the hand is in a hurry in a phrase as it was given. */
  private readonly hurries = new Map<number, number>();
  readonly fromHand: FromHand;

  /** @param tempo What the hand is judged at; the form's where absent. */
  constructor(
    private readonly placer: Placer,
    private readonly tempo: Tempo = placer.form.form.tempo,
  ) {
    this.fromHand = new FromHand(placer.phrases, placer.form.form.meter, tempo);
  }

  /**
   * How a candidate is played; or why it is not: it is unplayable, lands in another octave, or the hand
   * would have to jump where it has no time.
   * @param pinned What was put there stays in whatever octave the hand finds it.
   */
  of(candidate: Sketched, pinned = false): Result<Chosen> {
    const found = this.made.get(candidate) ?? this.make(candidate, pinned);
    this.made.set(candidate, found);
    return found;
  }

  private make(candidate: Sketched, pinned: boolean): Result<Chosen> {
    const moved = this.placer.play(candidate);
    if (!moved.ok) return moved;
    const { phrase, report } = moved.value;
    const [broken] = report.unplayable;
    if (broken !== undefined) return fail({ message: broken });
    if (!pinned && isDisplaced(phrase, candidate)) {
      return fail({ message: 'it lands in another octave' });
    }
    const shape = {
      candidate,
      phrase,
      moved: moved.value,
      pinned,
      hand: handIn(phrase, this.tempo),
    };
    const chosen = this.fromHand.strays(shape) ? this.fromHand.after(null, shape) : shape;
    if (!pinned && this.fromHand.strays(chosen)) {
      return fail({ message: 'it would lie far up the neck, or bend low strings' });
    }
    if (!pinned && chosen.hand.hurries > this.hurriesIn(candidate.index)) {
      return fail({ message: 'the hand would have to jump in no time' });
    }
    return ok(chosen);
  }

  private hurriesIn(index: number): number {
    const found =
      this.hurries.get(index) ?? handIn(this.placer.phrases.at(index)!, this.tempo).hurries;
    this.hurries.set(index, found);
    return found;
  }
}

/** Whether a note lies in another octave than the one that was weighed; a bend that was narrowed stays in its own. */
function isDisplaced(phrase: Phrase, { sketch, octaves }: Sketched): boolean {
  return lineOf(phrase).some(({ midi }, i) => {
    const off = midi - sketch.midi[i]! - 12 * octaves;
    return i === 0 ? off !== 0 : Math.abs(off) >= 12;
  });
}
