import type { Source } from '../input';
import { type OutputPlan, writeOutput } from '../output';
import type { Shell } from '../shell';

/** Writes the phrases of a file as they are in the format of the plan. */
export async function convertSource(shell: Shell, plan: OutputPlan, source: Source): Promise<void> {
  await writeOutput(shell, plan, source, source.phrases);
}
