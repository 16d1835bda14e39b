import { fail, ok, type Problem, type Result } from '../core/result';

/** A file as it comes; a failure is the last of it. */
export type Pieces = AsyncIterable<Result<Uint8Array>>;

/**
 * All of a file in one.
 * @param mostOf Bytes that are read of a file that begins so; a larger one is refused.
 */
export async function collected(
  pieces: Pieces,
  mostOf: (beginning: Uint8Array) => number,
): Promise<Result<Uint8Array>> {
  const all: Uint8Array[] = [];
  let size = 0;
  let most = 0;
  for await (const piece of pieces) {
    if (!piece.ok) return piece;
    if (size === 0) most = mostOf(piece.value);
    size += piece.value.length;
    if (size > most) return fail(tooLarge(most));
    all.push(piece.value);
  }
  return ok(joined(all));
}

/** Pieces behind each other; the only one as it is. */
export function joined(pieces: readonly Uint8Array[]): Uint8Array {
  const [only] = pieces;
  if (only !== undefined && pieces.length === 1) return only;
  const whole = new Uint8Array(pieces.reduce((sum, p) => sum + p.length, 0));
  let at = 0;
  for (const piece of pieces) {
    whole.set(piece, at);
    at += piece.length;
  }
  return whole;
}

export function tooLarge(most: number): Problem {
  return {
    message: `the file is larger than ${Math.round(most / 1024 / 1024)} MiB, the most that is read`,
    fix: 'Check whether it is the file you meant.',
  };
}
