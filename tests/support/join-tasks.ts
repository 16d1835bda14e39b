import * as z from 'zod/mini';
import { explainIssues } from '../../src/io/json/explain';

/**
 * The tasks of `tests/scripts/rank-joins.ts`, checked at the door: what cannot be ranked is refused with
 * its place, as data from outside is everywhere else.
 */
const row = z.tuple([z.number(), z.number(), z.number()], z.unknown());
const phrase = z.array(row).check(z.minLength(1));
const TASKS = z.object({
  unit: z.optional(z.number().check(z.positive())),
  tasks: z.nullish(
    z.array(
      z.object({
        id: z.union([z.string(), z.number()]),
        lane: z.nullish(z.array(z.tuple([z.number(), z.string()]))),
        earlier: z.nullish(z.array(row)),
        before: phrase,
        candidates: z.array(phrase),
      }),
    ),
  ),
  paths: z.nullish(
    z.array(
      z.object({
        id: z.union([z.string(), z.number()]),
        before: phrase,
        slots: z.array(z.array(phrase).check(z.minLength(1))).check(z.minLength(1)),
        after: z.nullish(phrase),
      }),
    ),
  ),
});

/** Onset, length and MIDI number; the first two in units of which `unit` make a quarter. */
export type Row = z.infer<typeof row>;

/** @returns the tasks, or one sentence that says where the text cannot be read as some. */
export function readJoinTasks(text: string): z.infer<typeof TASKS> | string {
  let data: unknown;
  try {
    data = JSON.parse(text);
  } catch (e) {
    return `this is not JSON: ${(e as Error).message}`;
  }
  const read = TASKS.safeParse(data);
  if (read.success) return read.data;
  const [worst] = explainIssues(
    data,
    read.error.issues.map((issue) => ({ issue, base: [] })),
  );
  return `at ${worst!.pointer || 'the top'}: ${worst!.message}. ${worst!.fix}`;
}
