import type { FormPlayed } from '../../core/form/played';
import { MOST_CHORUSES } from '../../core/form/repeat';
import { standardForm } from '../../core/form/standard';
import type { Form } from '../../core/form/types';
import {
  COURSES,
  type Course,
  VARIETIES,
  type Variety,
  WISHES,
  type Wish,
} from '../../core/solo/wanted';
import { formatKey, type Key, parseKey, twelveKeys } from '../../core/theory/key';
import type { Query } from '../shared/query';
import { playedForm, readPlayed, writePlayed } from './bench-course';

/** What lies on a bar because somebody said so; no id: the bar stays empty. */
export interface Held {
  /** From 1. */
  readonly bar: number;
  readonly id: string | null;
  /** Octaves beyond what the move chooses; null: what joins best. */
  readonly octaves: number | null;
  /** Stays when another chorus is asked for. */
  readonly pinned: boolean;
}

/** All that is chosen on the page for solos; it is what stands in the address. */
export interface Bench {
  /** As it is played. */
  readonly form: Form;
  /** What a standard form is played otherwise than it says; one of somebody's own says it itself. */
  readonly played: FormPlayed;
  readonly key: Key;
  /** Times the form is gone through. */
  readonly choruses: number;
  /** 1 to 5, or null for any. */
  readonly level: number | null;
  /** Whether what accompanies may stand in it. */
  readonly chords: boolean;
  readonly course: Course;
  readonly variety: Variety;
  readonly near: boolean;
  readonly wish: Wish | null;
  /** Whether what is empty is filled from the library. */
  readonly fill: boolean;
  /** 0 for the best chorus; another number draws one. */
  readonly seed: number;
  /** By their bars; what is not held is proposed. */
  readonly held: readonly Held[];
}

export const LEVELS: readonly number[] = [1, 2, 3, 4, 5];

/**
 * Reads what stands in the address; what makes no sense there counts as not said.
 * @param forms To choose from, at least one.
 */
export function readBench(query: Query, forms: readonly Form[]): Bench {
  const of = forms.find((f) => f.id === query.form) ?? forms[0]!;
  const played = standardForm(of.id) === undefined ? {} : readPlayed(query);
  const form = playedForm(of, played);
  const key = parseKey(query.key ?? '') ?? { tonic: { letter: 'A', alter: 0 }, mode: form.mode };
  const level = Number(query.level);
  const choruses = Number(query.choruses);
  const seed = Number(query.draw);
  return {
    form,
    played,
    key: { tonic: key.tonic, mode: form.mode },
    choruses: Number.isInteger(choruses) && choruses > 1 ? Math.min(choruses, MOST_CHORUSES) : 1,
    level: LEVELS.includes(level) ? level : null,
    chords: query.with === 'chords',
    course: COURSES.find((c) => c === query.course) ?? 'free',
    variety: VARIETIES.find((v) => v === query.variety) ?? 'usual',
    near: query.hand === 'near',
    wish: WISHES.find((w) => w === query.wish) ?? null,
    fill: query.fill !== 'no',
    seed: Number.isSafeInteger(seed) && seed > 0 ? seed : 0,
    held: (query.held ?? '').split(' ').flatMap(readHeld),
  };
}

/** The bench as the address has it; `readBench` reads it. */
export function writeBench(b: Bench): Query {
  return {
    form: b.form.id,
    ...writePlayed(b.played),
    key: tonicOf(b.key),
    choruses: b.choruses === 1 ? '' : String(b.choruses),
    level: b.level === null ? '' : String(b.level),
    with: b.chords ? 'chords' : '',
    course: b.course === 'free' ? '' : b.course,
    variety: b.variety === 'usual' ? '' : b.variety,
    hand: b.near ? 'near' : '',
    wish: b.wish ?? '',
    fill: b.fill ? '' : 'no',
    draw: b.seed === 0 ? '' : String(b.seed),
    held: b.held.map(heldText).join(' '),
  };
}

/** The bench with its standard form played otherwise. */
export function withPlayed(b: Bench, wish: FormPlayed): Bench {
  const form = standardForm(b.form.id);
  if (form === undefined) return b;
  const played = { ...b.played, ...wish };
  return { ...b, played, form: playedForm(form, played) };
}

/** `5:ID:-1!`: bar, phrase, octaves, and whether it is pinned; `5` for a bar that stays empty. */
function heldText({ bar, id, octaves, pinned }: Held): string {
  if (id === null) return String(bar);
  return `${bar}:${encodeURIComponent(id)}:${octaves ?? ''}${pinned ? '!' : ''}`;
}

function readHeld(text: string): readonly Held[] {
  const match = /^([1-9]\d{0,2})(?::([^:]+):(-?\d)?(!)?)?$/u.exec(text);
  if (match === null) return [];
  const [, bar, id, octaves, pin] = match;
  try {
    return [
      {
        bar: Number(bar),
        id: id === undefined ? null : decodeURIComponent(id),
        octaves: octaves === undefined ? null : Number(octaves),
        pinned: pin === '!' || id === undefined,
      },
    ];
  } catch {
    return [];
  }
}

/** What lies on the bars: what was proposed and what is held. */
export interface Lying {
  readonly firstBar: number;
  readonly lastBar: number;
  readonly id: string;
  readonly octaves: number;
}

/** Whether what lies there was pinned: what was refused on that bar is another phrase and does not pin it. */
export function isPinned(
  held: readonly Held[],
  { firstBar, id }: Pick<Lying, 'firstBar' | 'id'>,
): boolean {
  return held.some((h) => h.pinned && h.bar === firstBar && h.id === id);
}

/** Everything that lies, held where it is; what was pinned is pinned. */
export function holdAll({ held }: Pick<Bench, 'held'>, lying: readonly Lying[]): readonly Held[] {
  const parts = lying.map(
    (l): Held => ({
      bar: l.firstBar,
      id: l.id,
      octaves: l.octaves,
      pinned: isPinned(held, l),
    }),
  );
  return [...parts, ...held.filter((h) => h.id === null)];
}

/**
 * A phrase put onto a bar: it is held there with all else that lies, and what lay on its bars is gone.
 * @param bars How many it covers.
 */
export function put(b: Bench, lying: readonly Lying[], item: Held, bars: number): Bench {
  const last = item.bar + bars - 1;
  const kept = lying.filter((l) => l.lastBar < item.bar || l.firstBar > last);
  const others = holdAll(b, kept).filter((h) => h.id !== null || h.bar < item.bar || h.bar > last);
  return { ...b, held: inOrder([...others, item]) };
}

/** What lies on these bars is taken away, and they stay empty. */
export function empty(b: Bench, lying: readonly Lying[], from: number, to: number): Bench {
  const kept = holdAll(
    b,
    lying.filter((l) => l.lastBar < from || l.firstBar > to),
  ).filter((h) => h.id !== null || h.bar < from || h.bar > to);
  const rests = Array.from({ length: to - from + 1 }, (_, i): Held => {
    return { bar: from + i, id: null, octaves: null, pinned: true };
  });
  return { ...b, held: inOrder([...kept, ...rests]) };
}

/** A bar that stayed empty is filled again. */
export function refill(b: Bench, lying: readonly Lying[], bar: number): Bench {
  return { ...b, held: inOrder(holdAll(b, lying)).filter((h) => h.id !== null || h.bar !== bar) };
}

/** What lies on a bar stays there, or may give way again. */
export function setPinned(b: Bench, lying: readonly Lying[], bar: number, pinned: boolean): Bench {
  const held = inOrder(holdAll(b, lying));
  return { ...b, held: held.map((h) => (h.bar === bar ? { ...h, pinned } : h)) };
}

/** Another chorus around what is pinned. */
export function another(b: Bench, seed: number): Bench {
  return { ...b, seed, held: b.held.filter((h) => h.pinned) };
}

function inOrder(held: readonly Held[]): readonly Held[] {
  return [...held].sort((a, b) => a.bar - b.bar);
}

/** The tonics to choose from, in the form's mode, by their names. */
export function tonics({ form, key }: Pick<Bench, 'form' | 'key'>): readonly string[] {
  const all = twelveKeys({ tonic: { letter: 'C', alter: 0 }, mode: form.mode }).map(tonicOf);
  const mine = tonicOf(key);
  return all.includes(mine) ? all : [mine, ...all];
}

/** The tonic without the mode. */
export function tonicOf(key: Key): string {
  return formatKey({ ...key, mode: 'major' });
}
