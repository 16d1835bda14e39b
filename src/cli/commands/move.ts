import { movePhrase } from '../../core/move/move';
import type { Adaptation, Moved } from '../../core/move/request';
import { positionOf } from '../../core/phrase/time';
import type { Phrase } from '../../core/phrase/types';
import type { Problem, Result } from '../../core/result';
import { CHANGE_MARK, changedNotes, writeMoveReport } from '../../io/text/move-report';
import { writeTextTabs } from '../../io/text-tab/write/write-text-tab';
import { type MoveOptions, requestOf } from '../args';
import type { Source } from '../input';
import { degreeView, type OutputPlan, writeOutput } from '../output';
import type { Shell } from '../shell';

/** Says which option has no effect with the way that is used. */
export function remarkOnMove(shell: Shell, options: MoveOptions): void {
  const { goal, way, octave } = options;
  if (octave === undefined) return;
  const chooses = goal.kind === 'key' || goal.kind === 'chord' || goal.kind === 'lane';
  if (way === 'hold') shell.remark('degreewise: --octave changes nothing with the way hold.\n');
  else if (!chooses) shell.remark(`degreewise: --octave changes nothing with --${goal.kind}.\n`);
}

/** Moves every phrase of a file; prints before, after and report, or writes the results. */
export async function moveSource(
  shell: Shell,
  options: MoveOptions,
  plan: OutputPlan | null,
  source: Source,
  first: boolean,
): Promise<void> {
  const results: Phrase[] = [];
  const problems: Problem[] = [];
  source.phrases.forEach((p, i) => {
    const moved = moveOne(p, options);
    if (!moved.ok) {
      const name = source.library ? `phrase ${i + 1} ('${p.meta.title}'), ` : '';
      problems.push(...moved.problems.map((x) => ({ ...x, message: name + x.message })));
      return;
    }
    const result = asChild(shell, p, moved.value.phrase);
    results.push(result);
    if (plan === null) {
      if (!first || i > 0) shell.print('\n');
      shell.print(pageOf(shell, p, { ...moved.value, phrase: result }));
    } else {
      shell.remark(shortReport(source.path, p, moved.value));
    }
  });
  if (problems.length > 0) shell.refuse(source.path, problems);
  else if (plan !== null) await writeOutput(shell, plan, source, results);
}

function moveOne(p: Phrase, options: MoveOptions): Result<Moved> {
  const request = requestOf(options, p.key);
  return request.ok ? movePhrase(p, request.value) : request;
}

/** The result is a phrase of its own that knows where it comes from. */
function asChild(shell: Shell, from: Phrase, moved: Phrase): Phrase {
  const modified = shell.io.now().toISOString();
  return {
    ...moved,
    id: shell.io.newId(),
    parent: from.id,
    meta: { ...moved.meta, created: modified, modified },
  };
}

function pageOf(shell: Shell, before: Phrase, { phrase, report }: Moved): string {
  const { width, ascii } = shell;
  const tab = writeTextTabs(
    [
      { phrase: before, caption: 'before' },
      { phrase, caption: 'after', marks: changedNotes(report) },
    ],
    {
      width,
      ascii,
      degrees: degreeView(before, phrase),
      markLegend: `${CHANGE_MARK}  changed, see the report`,
    },
  );
  return `${tab}\n${writeMoveReport(before, report, { width, ascii })}`;
}

/** What a person must know even where the result goes to a file: what could not be kept. */
function shortReport(path: string, p: Phrase, { report }: Moved): string {
  const lost = (a: Adaptation) => a.fallback;
  const lines = [
    ...report.general.filter(lost).map((a) => `${a.text} (${a.rule})`),
    ...report.notes.flatMap((n) => {
      const at = positionOf(p, n.onset);
      const place = `bar ${at.bar}, beat ${Math.round(at.beat * 100) / 100}, string ${n.after.string}`;
      return n.adaptations.filter(lost).map((a) => `${place}: ${a.text} (${a.rule})`);
    }),
    ...report.unplayable.map((u) => `not playable as it stands: ${u}`),
  ];
  return lines.map((l) => `${path}: ${l}\n`).join('');
}
