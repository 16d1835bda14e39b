import type { Source } from '../input';
import { type OutputPlan, writeOutput } from '../output';
import type { Shell } from '../shell';
import { count } from '../words';

/** Writes what a file holds as it is in the format of the plan; only a library holds all of it. */
export async function convertSource(shell: Shell, plan: OutputPlan, source: Source): Promise<void> {
  const { others = [], phrases, path, library } = source;
  await writeOutput(shell, plan, source, phrases, others);
  const format = plan.format ?? source.format;
  if (others.length === 0 || (library && format === 'json')) return;
  const kinds = [...new Set(others.map((t) => t.kind))];
  const what = kinds.map((k) => count(others.filter((t) => t.kind === k).length, k.noun));
  shell.remark(`${path}: only a library in JSON holds the ${what.join(', ')}\n`);
}
