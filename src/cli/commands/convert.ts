import { musicOf } from '../../core/lesson/music';
import type { Phrase } from '../../core/phrase/types';
import { stemOf } from '../../io/file/formats';
import { LESSONS } from '../../io/kinds/kinds';
import { fileStem, numberedStems } from '../../publish/file-names';
import { formatRow, type PublishFormat } from '../../publish/formats';
import type { Source } from '../input';
import { ofKind } from '../of-kind';
import { type OutputPlan, writeOutput } from '../output';
import type { Shell } from '../shell';
import { count } from '../words';

/**
 * Writes what a file holds as it is in the format of the plan; only a library holds all of it. Of a lesson that is
 * its music, a file each, in its order.
 */
export async function convertSource(shell: Shell, plan: OutputPlan, source: Source): Promise<void> {
  const { others = [], phrases, path, library } = source;
  const format = plan.format ?? source.format;
  if (phrases.length === 0 && !library && others.length > 0) {
    if (format !== 'json') return convertMusic(shell, plan, format, source);
    return writeOutput(shell, plan, { ...source, library: true }, [], others);
  }
  await writeOutput(shell, plan, source, phrases, others);
  if (others.length === 0 || (library && format === 'json')) return;
  shell.remark(`${path}: only a library in JSON holds the ${whatIsThere(source)}\n`);
}

function whatIsThere({ others = [] }: Source): string {
  const kinds = [...new Set(others.map((t) => t.kind))];
  return kinds.map((k) => count(others.filter((t) => t.kind === k).length, k.noun)).join(', ');
}

/** Every piece of the music of a lesson, with what accompanies it where the format has room for it. */
async function convertMusic(
  shell: Shell,
  plan: OutputPlan,
  format: PublishFormat,
  source: Source,
): Promise<void> {
  const { path, others = [] } = source;
  const made = ofKind(others, LESSONS).map(musicOf);
  const all = made.flatMap(({ music, along }) => music.map((p) => ({ p, along: along.get(p.id) })));
  const [only, second] = all;
  if (only === undefined) {
    const message = `there is no music in it, only the ${whatIsThere(source)}`;
    return shell.refuse(path, [{ message, fix: 'Write it as .json.' }]);
  }
  if (plan.kind === 'file' && second !== undefined) {
    return shell.misuse({
      message: `'${path}' holds ${all.length} pieces of music, which do not fit into one .${format} file`,
      fix: 'Let -o name a folder.',
    });
  }
  for (const line of made.flatMap((m) => m.left)) shell.remark(`${path}: left out ${line}\n`);
  const stems = numberedStems(all.map(({ p }) => fileStem(p.meta.title)));
  for (const [i, { p, along }] of all.entries()) {
    const out =
      plan.kind === 'file'
        ? plan.path
        : `${plan.path.replace(/[/\\]+$/u, '')}/${stemOf(path)}-${stems[i]}.${format}`;
    const look = along === undefined ? plan.look : { ...plan.look, ...accompanied(format, along) };
    await writeOutput(shell, { ...plan, kind: 'file', path: out, format, look }, source, [p]);
  }
}

const accompanied = (format: PublishFormat, along: Phrase) =>
  formatRow(format).asks.includes('beneath') ? { beneath: () => along } : {};
