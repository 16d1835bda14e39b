import { fail, ok, type Result } from '../core/result';
import { COURSES, type SoloTaste, VARIETIES, WISHES, type Wish } from '../core/solo/wanted';
import { readChoice } from './flag-values';
import type { Flags } from './flags';

/** A phrase that stands at a bar, by its id or its title. */
export interface PinText {
  readonly bar: number;
  readonly phrase: string;
}

/** `5=ID` or `5=TITLE`, several divided by semicolons. */
export function readPins(text: string | undefined): Result<readonly PinText[]> {
  if (text === undefined) return ok([]);
  const pins: PinText[] = [];
  for (const part of text.split(';')) {
    const match = /^\s*(\d{1,3})\s*=\s*(.*\S)\s*$/u.exec(part);
    if (match === null) {
      return fail({
        message: `in --pin: '${part.trim()}' is no bar with a phrase`,
        fix: 'Write for example 5=ID, or 5=TITLE;9=TITLE for several.',
      });
    }
    pins.push({ bar: Number(match[1]), phrase: match[2]! });
  }
  return ok(pins);
}

/** Bars from 1, divided by commas. */
export function readBars(text: string | undefined): Result<readonly number[]> {
  if (text === undefined) return ok([]);
  const bars = text.split(',').map((t) => t.trim());
  const wrong = bars.find((b) => !/^[1-9]\d{0,2}$/u.test(b));
  if (wrong === undefined) return ok(bars.map(Number));
  return fail({ message: `in --leave: '${wrong}' is no bar`, fix: 'Write for example 4,8.' });
}

/** What is wanted of a solo from its options; else which option is wrong, and what it can be. */
export function readTaste(flags: Flags): Result<SoloTaste> {
  const course = readChoice(flags, 'course', COURSES);
  if (!course.ok) return course;
  const variety = readChoice(flags, 'variety', VARIETIES);
  if (!variety.ok) return variety;
  const names = flags.values.get('wish')?.split(',') ?? [];
  const wishes: Wish[] = [];
  for (const name of names) {
    const wish = WISHES.find((w) => w === name.trim());
    if (wish === undefined) {
      return fail({
        message: `'${name.trim()}' is no value of --wish`,
        fix: `Use ${WISHES.join(', ')}, divided by commas.`,
      });
    }
    wishes.push(wish);
  }
  return ok({
    ...(course.value === undefined ? {} : { course: course.value }),
    ...(variety.value === undefined ? {} : { variety: variety.value }),
    ...(flags.values.has('near') ? { hand: 'near' as const } : {}),
    ...(wishes.length === 0 ? {} : { wishes }),
  });
}
