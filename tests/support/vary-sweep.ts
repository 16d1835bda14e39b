import { checkPlayable } from '../../src/core/neck/playable';
import type { Phrase } from '../../src/core/phrase/types';
import { checkPhrase } from '../../src/core/validity/check-phrase';
import { VARIATION_IDS, type VariationId } from '../../src/core/vary/table';
import { type Varied, varyPhrase } from '../../src/core/vary/vary';
import { frameFault, PROMISES } from './vary-promises';

/** What came of one variation over many phrases. */
export interface VaryCount {
  phrases: number;
  varied: number;
  results: number;
  /** Reasons why there was none, with how often. */
  readonly none: Map<string, number>;
}

/** Hard rules that a phrase breaks as it stands: no variation answers for them. */
export function brokenRules(p: Phrase): ReadonlySet<string> {
  return new Set(checkPlayable(p).map((v) => `${v.rule}:${[...v.noteIds].sort()}`));
}

/** What is wrong with a result; null where it is valid, playable, in its frame and as promised. */
export function faultOf(p: Phrase, id: VariationId, v: Varied): string | null {
  const invalid = checkPhrase(v.phrase)[0];
  if (invalid !== undefined) return `invalid: ${invalid.pointer} ${invalid.message}`;
  const known = brokenRules(p);
  const broken = [...brokenRules(v.phrase)].find((b) => !known.has(b));
  if (broken !== undefined) return `not playable: ${broken}`;
  const pitched = v.phrase.voices.flatMap((x) => x.events).flatMap((e) => e.notes);
  const told = new Set(v.report.notes.filter((n) => n.after !== null).map((n) => n.id));
  const untold = pitched.find((n) => n.kind === 'pitched' && !told.has(n.id));
  if (untold !== undefined) return `the report does not name ${untold.id}`;
  const over = v.report.notes.find((n) => n.after?.chordDegree && n.role === null);
  if (over !== undefined) return `the role of ${over.id} is not said`;
  return frameFault(p, v.phrase) ?? PROMISES[id](p, v.phrase);
}

/**
 * Every variation over some phrases.
 * @returns counts by variation, and what is wrong, with its name.
 */
export function sweepVariations(
  phrases: Iterable<readonly [string, Phrase]>,
  seed: number,
  ids: readonly VariationId[] = VARIATION_IDS,
): { readonly counts: ReadonlyMap<VariationId, VaryCount>; readonly faults: readonly string[] } {
  const counts = new Map<VariationId, VaryCount>(
    ids.map((id) => [id, { phrases: 0, varied: 0, results: 0, none: new Map() }]),
  );
  const faults: string[] = [];
  for (const [name, p] of phrases) {
    for (const id of ids) {
      const c = counts.get(id)!;
      c.phrases++;
      try {
        const made = varyPhrase(p, [id], { seed });
        if (!made.ok) {
          const why = made.problems[0]!.message;
          c.none.set(why, (c.none.get(why) ?? 0) + 1);
          continue;
        }
        c.varied++;
        for (const v of made.value) {
          c.results++;
          const fault = faultOf(p, id, v);
          if (fault !== null) faults.push(`${name} ${id} (${v.reasons.join()}): ${fault}`);
        }
      } catch (e) {
        faults.push(
          `${name} ${id}: ${e instanceof Error ? `${e.message} ${e.stack?.split('\n')[1]}` : e}`,
        );
      }
    }
  }
  return { counts, faults };
}
