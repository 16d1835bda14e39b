import { fail, ok, type Result } from '../core/result';
import type { Flag, Flags } from './flags';

/** A library and the folder that carries it. */
export interface CarryOptions {
  readonly library: string;
  readonly folder: string;
  /** Says what would be done, and does nothing. */
  readonly dry: boolean;
  /** Reads every file, whatever its size and times say. */
  readonly all: boolean;
  /** What is missing in the library was removed, however much it is. */
  readonly removals: boolean;
  readonly json: boolean;
}

export const CARRY: readonly Flag[] = ['dry', 'all', 'removals', 'json'].map((name) => {
  return { name, takes: 'nothing' };
});

export function readCarry(files: readonly string[], { values }: Flags): Result<CarryOptions> {
  const [library, folder, ...more] = files;
  if (library === undefined || folder === undefined || more.length > 0) {
    return fail({
      message: 'a library and a folder are needed, and nothing else',
      fix: 'Write the name of the library file first, then the folder: carry mine.json shared',
    });
  }
  if (!/\.json$/iu.test(library)) {
    return fail({
      message: `'${library}' is no name of a library`,
      fix: 'Name a file that ends in .json first, then the folder.',
    });
  }
  const has = (name: string) => values.has(name);
  return ok({
    library,
    folder,
    dry: has('dry'),
    all: has('all'),
    removals: has('removals'),
    json: has('json'),
  });
}
