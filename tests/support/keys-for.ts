import { barSpans } from '../../src/core/phrase/time';
import type { Note, Phrase, PhraseEvent, Ticks, Tuplet, Voice } from '../../src/core/phrase/types';
import { noteKeys, sayableEvents, strikeKeys } from './technique-keys';

/* The editor backwards, written from what the page of keys says and not from its commands. */

/** Ticks of the values from the whole note to the 128th, each half of the one before (T1). */
const VALUES: readonly Ticks[] = [40_320, 20_160, 10_080, 5_040, 2_520, 1_260, 630, 315];

/** Values that have a key of their own, by their place in `VALUES`. */
const NAMED: readonly (readonly [number, string])[] = [
  [0, 'w'],
  [1, 'H'],
  [2, 'q'],
  [3, 'e'],
  [4, 's'],
];

/** A value with its dot, by its place in `VALUES`. */
interface Value {
  readonly at: number;
  readonly dotted: boolean;
}

/**
 * The keys that write a phrase on an empty page of its instrument, metre and pickup: frets, lengths,
 * rests, dots, ties, triplets, what is struck together, techniques that have a key, and the second voice.
 * @param p Only what `sayable` leaves.
 */
export function keysFor(p: Phrase): readonly string[] {
  const typist = new Typist(Math.min(3, p.instrument.tuning.length));
  const [first, second] = p.voices;
  typist.voice(first);
  const last = barSpans(p).at(-1)!;
  // What sounds in no voice still takes its bars.
  if (typist.onset <= last.start) typist.rest(p.length, first);
  if (second !== undefined) {
    typist.otherVoice();
    typist.voice(second);
  }
  return typist.keys;
}

class Typist {
  readonly keys: string[] = [];
  /** Where the next thing is written; the cursor stands before it while `on` is set. */
  onset: Ticks = 0;
  /** The cursor is still on the note that ends at `onset`, and begins at `start`. */
  private on = false;
  private start: Ticks = 0;
  private pen: Value = { at: 3, dotted: false };
  private triplets = false;
  /** Onsets of the tuplets that are there. */
  private made = new Set<Ticks>();

  constructor(private string: number) {}

  voice(v: Voice): void {
    for (const e of v.events) {
      if (e.onset > this.onset) this.rest(e.onset, v);
      this.event(e, v);
    }
  }

  otherVoice(): void {
    this.keys.push('V');
    if ((this.on ? this.start : this.onset) > 0) this.keys.push('Home');
    this.onset = 0;
    this.on = false;
    this.made = new Set();
  }

  /** Silence up to a moment. */
  rest(to: Ticks, v: Voice): void {
    this.leave();
    for (const part of partsOf(this.onset, to, v.tuplets)) {
      for (const length of this.lengths(part)) {
        this.take(length, part.tuplet);
        this.keys.push('r');
        this.onset += length;
      }
    }
  }

  private event(e: PhraseEvent, v: Voice): void {
    const [head, ...more] = partsOf(e.onset, e.onset + e.duration, v.tuplets);
    const [first, ...others] = this.lengths(head!);
    const strings = e.notes.map((n) => n.string);
    const fromTop = Math.abs(strings[0]! - this.string) <= Math.abs(strings.at(-1)! - this.string);
    const notes = fromTop ? e.notes : [...e.notes].reverse();
    this.leaveTowards(notes[0]!.string);
    this.take(first!, head!.tuplet);
    for (const n of notes) this.note(n);
    this.keys.push(...strikeKeys(e));
    this.onset += first!;
    this.on = true;
    this.start = e.onset;
    for (const length of others) this.hold(length, head!.tuplet);
    for (const part of more) {
      if (part.tuplet !== null && !this.made.has(part.tuplet.onset)) this.begin(part.tuplet);
      for (const length of this.lengths(part)) this.hold(length, part.tuplet);
    }
  }

  private note(n: Note): void {
    this.goTo(n.string);
    this.keys.push(...String(n.fret), ...noteKeys(n));
  }

  /** The note before is held on. */
  private hold(length: Ticks, tuplet: Tuplet | null): void {
    const value = tuplet === null ? valueLasting(length)! : unitOf(tuplet);
    if (!sameValue(value, this.pen)) {
      this.leave();
      this.setValue(value);
    }
    this.keys.push('j');
    this.onset += length;
  }

  /** A tuplet into which a note is held: made by a rest, which is then held over. */
  private begin(tuplet: Tuplet): void {
    this.leave();
    this.take(tuplet.duration / tuplet.actual, tuplet);
    this.keys.push('r', 'ArrowLeft');
  }

  private leave(): void {
    if (this.on) this.keys.push('Enter');
    this.on = false;
  }

  /** Off the note that was written, with the step to the next string where there is one. */
  private leaveTowards(string: number): void {
    if (this.on && string !== this.string) {
      this.keys.push(string < this.string ? '+' : '-');
      this.string += string < this.string ? -1 : 1;
      this.on = false;
    }
    this.leave();
  }

  private goTo(string: number): void {
    const away = string - this.string;
    for (let i = 0; i < Math.abs(away); i++) this.keys.push(away < 0 ? 'ArrowUp' : 'ArrowDown');
    this.string = string;
  }

  /** Lengths that are written one by one: cells of a tuplet, or the longest values first. */
  private lengths({ from, to, tuplet }: Part): readonly Ticks[] {
    if (tuplet !== null) {
      const cell = tuplet.duration / tuplet.actual;
      return Array.from({ length: (to - from) / cell }, () => cell);
    }
    const lengths: Ticks[] = [];
    for (let left = to - from; left > 0; left -= lengths.at(-1)!) {
      const longest = EVERY.find((l) => l.ticks <= left);
      if (longest === undefined) throw new RangeError(`no value lasts ${left} ticks`);
      lengths.push(longest.ticks);
    }
    return lengths;
  }

  /** Sets what the next note or rest is as long as. */
  private take(length: Ticks, tuplet: Tuplet | null): void {
    if (this.triplets !== (tuplet !== null)) {
      this.keys.push('t');
      this.triplets = !this.triplets;
    }
    if (tuplet !== null) this.made.add(tuplet.onset);
    this.setValue(tuplet === null ? valueLasting(length)! : unitOf(tuplet));
  }

  private setValue(to: Value): void {
    const steps = (from: number) =>
      Array<string>(Math.abs(to.at - from)).fill(to.at > from ? ',' : ';');
    const here = [
      ...(this.pen.dotted && !to.dotted ? ['.'] : []),
      ...steps(this.pen.at),
      ...(to.dotted && !this.pen.dotted ? ['.'] : []),
    ];
    // A value by its name has no dot.
    const named = NAMED.map(([at, key]) => [key, ...steps(at), ...(to.dotted ? ['.'] : [])]);
    const shortest = named.reduce((a, b) => (b.length < a.length ? b : a), here);
    this.keys.push(...shortest);
    this.pen = to;
  }
}

/** A stretch of time inside one tuplet, or outside of all. */
interface Part {
  readonly from: Ticks;
  readonly to: Ticks;
  readonly tuplet: Tuplet | null;
}

function partsOf(from: Ticks, to: Ticks, tuplets: readonly Tuplet[]): readonly Part[] {
  const parts: Part[] = [];
  for (let at = from; at < to; at = parts.at(-1)!.to) {
    const tuplet = tuplets.find((t) => t.onset <= at && at < t.onset + t.duration) ?? null;
    const next = tuplets.find((t) => t.onset > at)?.onset ?? to;
    const end = tuplet === null ? next : tuplet.onset + tuplet.duration;
    parts.push({ from: at, to: Math.min(end, to), tuplet });
  }
  return parts;
}

/** Every value with its ticks, the longest first; a 128th has no dot. */
const EVERY = VALUES.flatMap((ticks, at) => [
  ...(at === VALUES.length - 1 ? [] : [{ ticks: ticks * 1.5, at, dotted: true }]),
  { ticks, at, dotted: false },
]).sort((a, b) => b.ticks - a.ticks);

function valueLasting(ticks: Ticks): Value | undefined {
  return EVERY.find((v) => v.ticks === ticks);
}

function sameValue(a: Value, b: Value): boolean {
  return a.at === b.at && a.dotted === b.dotted;
}

/** The value of which a tuplet has its notes. */
function unitOf(t: Tuplet): Value {
  const value = valueLasting(t.duration / t.normal);
  if (value === undefined) throw new RangeError(`no value for a tuplet of ${t.duration} ticks`);
  return value;
}

/**
 * What keys alone can say of a generated phrase: other tuplets than triplets and some techniques need
 * the list of commands, and a division in which nothing begins or ends is no music.
 */
export function sayable(p: Phrase): Phrase {
  const voices = p.voices.map((v): Voice => {
    const odd = v.tuplets.filter((t) => t.actual !== 3 || t.normal !== 2);
    const inside = (t: Tuplet, at: Ticks) => at > t.onset && at < t.onset + t.duration;
    const ends = (e: PhraseEvent) => [e.onset, e.onset + e.duration];
    const events = v.events.filter(
      (e) => !odd.some((t) => e.onset === t.onset || ends(e).some((at) => inside(t, at))),
    );
    const tuplets = v.tuplets.filter(
      (t) =>
        t.actual === 3 &&
        events.some((e) => e.onset === t.onset || ends(e).some((at) => inside(t, at))),
    );
    return { events: sayableEvents(events), tuplets };
  });
  const [first, second] = voices;
  const heard = second !== undefined && second.events.length > 0;
  return { ...p, voices: heard ? [first!, second] : [first!] };
}
