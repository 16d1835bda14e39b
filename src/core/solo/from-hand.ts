import { adapted } from '../move/plan';
import type { Moved } from '../move/request';
import { type OwnWay, ownWay, placeFrom, strays } from '../neck/from-hand';
import { endsOf } from '../neck/neighbours';
import type { Neighbour } from '../neck/problem';
import { secondsPerTick } from '../neck/problem-of';
import { meterTicks } from '../phrase/time';
import type { Meter, Phrase, Tempo, Ticks } from '../phrase/types';
import { notesOf } from '../phrase/walk';
import { checkPhrase } from '../validity/check-phrase';
import type { Chosen } from './chosen';
import { handIn } from './hand';
import { cutAt, firstOnset, laidPrint } from './laid';
import type { Phrases } from './placer';

/** What is said of a phrase that lies elsewhere than its shape does, and of one in which a note or two do. */
const ELSEWHERE = 'on other strings than its shape, which is easier for the hand there';
const ONE = 'one note on another string than in its shape, nearer to the hand';
const TWO = 'two notes on other strings than in its shape, nearer to the hand';

/**
 * Where each phrase of a solo lies on the neck, from where the hand is at the end of the one before: in its shape, or
 * elsewhere where that takes clearly less effort (`placeFrom`). The way from one to the next counts once, with the
 * second. Pitches, signs and octaves stay as they were laid.
 */
export class FromHand {
  /** How each phrase was written, by its place in the list. */
  private readonly own = new Map<number, OwnWay>();
  /** The hand behind each phrase, with the tick up to which its time was reckoned. */
  private readonly ends = new WeakMap<
    Phrase,
    { readonly hand: Neighbour | null; readonly begins: Ticks }
  >();
  private readonly placed = new WeakMap<Chosen, Map<string, Chosen>>();

  constructor(
    private readonly phrases: Phrases,
    private readonly meter: Meter,
    private readonly tempo: Tempo,
  ) {}

  /** @param way In order, as shapes. */
  along(way: readonly Chosen[]): readonly Chosen[] {
    const placed: Chosen[] = [];
    for (const next of way) placed.push(this.after(placed.at(-1) ?? null, next));
    return placed;
  }

  /** @param before As it was placed itself; null where the solo begins. */
  after(before: Chosen | null, next: Chosen): Chosen {
    const from = before === null ? null : this.handAfter(before, next);
    const known = this.placed.get(next) ?? new Map<string, Chosen>();
    this.placed.set(next, known);
    const name = JSON.stringify(from);
    const found = known.get(name) ?? this.place(next, from ?? undefined);
    known.set(name, found);
    return found;
  }

  /** Whether a phrase lies far up the neck, or bends low strings, where it was not written so. */
  strays({ candidate, phrase }: Chosen): boolean {
    return strays(phrase, () => this.ownOf(candidate.index));
  }

  private ownOf(index: number): OwnWay {
    const own = this.own.get(index) ?? ownAt(this.phrases.at(index)!, this.tempo);
    this.own.set(index, own);
    return own;
  }

  private place(next: Chosen, from: Neighbour | undefined): Chosen {
    const { tempo } = this;
    const own = this.ownOf(next.candidate.index);
    const phrase = placedFrom(next.phrase, { from, own, tempo });
    if (phrase === next.phrase) return next;
    const hand = handIn(phrase, tempo);
    if (hand.hurries > next.hand.hurries) return next;
    const elsewhere =
      next.elsewhere === undefined ? elsewhereWords(next.phrase, phrase) : ELSEWHERE;
    return { ...next, phrase, moved: movedTo(next, phrase, elsewhere), hand, elsewhere };
  }

  /** Where the hand is before a phrase, and how much time it has. */
  private handAfter(before: Chosen, next: Chosen): Neighbour | null {
    const begins = this.zeroOf(next) + firstOnset(next.phrase.voices) - this.zeroOf(before);
    const { phrase } = before;
    const last = phrase.voices.every((v) => v.events.every((e) => e.onset < begins));
    if (!last) return handBefore(phrase, begins, this.tempo);
    const ends = this.ends.get(phrase) ?? { hand: handBefore(phrase, begins, this.tempo), begins };
    this.ends.set(phrase, ends);
    const later = (begins - ends.begins) * secondsPerTick(this.tempo);
    return ends.hand === null ? null : { ...ends.hand, seconds: ends.hand.seconds + later };
  }

  private zeroOf({ candidate, phrase }: Chosen): Ticks {
    return candidate.start * meterTicks(this.meter) - phrase.pickup;
  }
}

/** How a phrase was written, judged at a tempo. */
export const ownAt = (source: Phrase, tempo: Tempo): OwnWay => ownWay({ ...source, tempo });

/** A moved phrase at the place to which the hand comes; itself where that is its shape. */
export function placedFrom(
  moved: Phrase,
  at: { readonly from: Neighbour | undefined; readonly own: OwnWay; readonly tempo: Tempo },
): Phrase {
  const shape = { ...moved, tempo: at.tempo };
  const found = placeFrom(shape, at.from, at.own);
  if (found === shape) return moved;
  // A harmonic at another node would be another sign, and a rake keeps its strings.
  const other = laidPrint(found.voices) !== laidPrint(moved.voices);
  const broken = checkPhrase(found).length > checkPhrase(moved).length;
  return other || broken ? moved : { ...found, tempo: moved.tempo };
}

/**
 * The hand at the end of what is played up to a tick, and the time from there; null where nothing is, or its
 * places cannot be played.
 */
export function handBefore(p: Phrase, begins: Ticks, tempo: Tempo): Neighbour | null {
  const voices = cutAt(p, begins);
  const ends = endsOf({ ...p, tempo, voices });
  if (ends === null) return null;
  const onset = Math.max(...voices.flatMap((v) => v.events.map((e) => e.onset)));
  return { ...ends.last, seconds: (begins - onset) * secondsPerTick(tempo) };
}

function elsewhereWords(shape: Phrase, placed: Phrase): string {
  const strings = notesOf(shape).map(({ note }) => note.string);
  const off = notesOf(placed).filter(({ note }, i) => note.string !== strings[i]).length;
  return off === 1 ? ONE : off === 2 ? TWO : ELSEWHERE;
}

/** The report with the places that were found. */
function movedTo({ moved: { report }, elsewhere }: Chosen, phrase: Phrase, words: string): Moved {
  const places = new Map(notesOf(phrase).map(({ note }) => [note.id, note]));
  const notes = report.notes.map((n) => {
    const { string, fret } = places.get(n.id) ?? n.after;
    return { ...n, after: { ...n.after, string, fret } };
  });
  const known = report.general.filter((g) => g.text !== elsewhere);
  const general = [...known, adapted('M12', words)];
  return { phrase, report: { ...report, hand: 'area', notes, general } };
}
