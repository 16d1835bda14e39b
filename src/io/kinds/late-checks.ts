/** The checks of each kind: a page that shows what was checked before does not wait for them. */
type LateChecks = typeof import('./checks')['CHECKS'];

/** Somebody asked for a check before it had come: wait for `ready` of its kind and ask again. */
export class ChecksNotCome extends Error {
  constructor() {
    super('the checks have not come yet');
  }
}

let come: LateChecks | null = null;

/** Fetches the checks; at once where they have come. Rejects where they could not be fetched. */
export async function fetchChecks(): Promise<void> {
  come ??= (await import('./checks')).CHECKS;
}

/** For who has them at hand. */
export function giveChecks(checks: LateChecks): void {
  come = checks;
}

/** @throws ChecksNotCome */
export function lateChecks(): LateChecks {
  if (come === null) throw new ChecksNotCome();
  return come;
}
