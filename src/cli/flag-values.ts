import { fail, ok, type Result } from '../core/result';
import { shortened } from '../core/shortened';
import { type Key, parseKey } from '../core/theory/key';
import type { Flags } from './flags';

/** The value of an option that is one of some words; undefined where it is not given. */
export function readChoice<T extends string>(
  flags: Flags,
  name: string,
  choices: readonly T[],
): Result<T | undefined> {
  const text = flags.values.get(name);
  if (text === undefined) return ok(undefined);
  const found = choices.find((c) => c === text);
  if (found !== undefined) return ok(found);
  return fail({ message: `'${text}' is no value of --${name}`, fix: `Use ${choices.join(', ')}.` });
}

/** The value of an option that is a whole number; undefined where it is not given. */
export function readWhole(
  flags: Flags,
  name: string,
  least: number,
  most: number,
): Result<number | undefined> {
  const text = flags.values.get(name);
  if (text === undefined) return ok(undefined);
  const n = Number(text);
  if (/^[+-]?\d+$/u.test(text) && n >= least && n <= most) return ok(n);
  return fail({
    message: `'${text}' is no value of --${name}`,
    fix: `Use a whole number from ${least} to ${most}.`,
  });
}

/** The key of `--key` where only its tonic matters; null where it is not given. */
export function readKey(flags: Flags): Result<Key | null> {
  const text = flags.values.get('key');
  const key = text === undefined ? null : parseKey(text);
  if (text === undefined || key !== null) return ok(key);
  return fail({
    message: `in --key: '${shortened(text)}' is no key`,
    fix: 'Write for example A, F# or Bbm.',
  });
}
