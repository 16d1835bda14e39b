import { childOf, childTitle } from '../../core/move/child';
import { formatWithout, type Goal } from '../../core/move/goal';
import { movePhraseOn } from '../../core/move/move';
import type { Moved, MoveRequest, Without } from '../../core/move/request';
import { spread, whichOf } from '../../core/move/several';
import { type WayOut, waysOut } from '../../core/move/ways-out';
import type { Phrase } from '../../core/phrase/types';
import { notesOf } from '../../core/phrase/walk';
import { ok, type Problem, type Result } from '../../core/result';
import { techniqueOf } from '../../core/technique/table';
import { valueOfTechnique } from '../../core/technique/value';
import {
  CHANGE_MARK,
  changedNotes,
  lossesOfMove,
  writeMoveReport,
} from '../../io/text/move-report';
import { writeTextTabs } from '../../io/text-tab/write/write-text-tab';
import type { Source } from '../input';
import { type MoveOptions, requestsOf } from '../move-flags';
import { degreeView, type OutputPlan, writeOutput } from '../output';
import type { Shell } from '../shell';

/** Says which option has no effect with the way that is used. */
export function remarkOnMove(shell: Shell, options: MoveOptions): void {
  const { goals, way, octave } = options;
  if (octave === undefined) return;
  const kinds = goals.map((g) => g.kind);
  const chooses = kinds.some((k) => k === 'key' || k === 'chord' || k === 'lane');
  if (way === 'hold') shell.remark('degreewise: --octave changes nothing with the way hold.\n');
  else if (!chooses) shell.remark(`degreewise: --octave changes nothing with --${kinds[0]}.\n`);
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
  const problems: Problem[] = nowhere(source.phrases, options.without ?? []);
  if (problems.length > 0) return shell.refuse(source.path, problems);
  source.phrases.forEach((p, i) => {
    for (const moved of moveEach(shell, p, options)) {
      const { which } = moved;
      if (!moved.ok) {
        const name = source.library ? `phrase ${i + 1} ('${p.meta.title}'), ` : '';
        const head = name + (which === '' ? '' : `${which}: `);
        problems.push(...moved.problems.map((x) => ({ ...x, message: head + x.message })));
      } else if (plan === null) {
        if (!first || results.length > 0) shell.print('\n');
        if (which !== '') shell.print(`Moved ${which}\n\n`);
        shell.print(pageOf(shell, p, moved.value));
        shell.print(waysOutText(p, moved.value));
        results.push(moved.value.phrase);
      } else {
        const path = which === '' ? source.path : `${source.path}, ${which}`;
        shell.remark(shortReport(path, p, moved.value));
        results.push(moved.value.phrase);
      }
    }
  });
  if (problems.length > 0) return shell.refuse(source.path, problems);
  // One phrase that became several is written as a library is.
  const several = results.length > source.phrases.length;
  const out = { ...source, library: source.library || several };
  if (plan !== null) await writeOutput(shell, plan, out, results);
}

/** What is wrong with signs to leave out that no phrase of a file has: a wish is never passed over. */
function nowhere(phrases: readonly Phrase[], signs: readonly Without[]): Problem[] {
  const notes = phrases.flatMap((p) => notesOf(p).map(({ note }) => note));
  return signs.flatMap((sign): Problem[] => {
    const named = notes.filter((n) => n.id === sign.id);
    if (named.some((n) => valueOfTechnique(n, sign.technique) !== undefined)) return [];
    const { word } = techniqueOf(sign.technique);
    const none =
      named.length === 0 ? `there is no note ${sign.id}` : `note ${sign.id} has no ${word}`;
    return [
      {
        message: `--without ${formatWithout(sign)}: ${none}`,
        fix: 'Take the option as the report of the move offers it.',
      },
    ];
  });
}

/** A result with the moves that led to it. */
interface Asked extends Moved {
  readonly requests: readonly MoveRequest[];
}

/** What can be kept as it stands where the wish could not, as options to add; empty where it was kept. */
function waysOutText(p: Phrase, { requests, report }: Asked): string {
  if (report.obstacles.length === 0) return '';
  const lines = waysOut(p, requests, report.obstacles).map((o) => `${optionOf(o)}  ${o.text}`);
  return lines.length === 0 ? '' : `\nIt can also be had:\n  ${lines.join('\n  ')}\n`;
}

function optionOf(out: WayOut): string {
  switch (out.kind) {
    case 'without':
      return `--without ${formatWithout(out.sign)}`;
    case 'octave':
      return `--octave ${out.octave}`;
    case 'hand':
      return `--hand ${out.hand}`;
  }
}

/** One of the results, with the words that tell it from the others; empty where it is the only one. */
type OneOf<T> = Result<T> & { readonly which: string };

/** Every result that the options ask of a phrase, a phrase of its own each, or why there is none. */
function moveEach(shell: Shell, p: Phrase, options: MoveOptions): readonly OneOf<Asked>[] {
  const lists = spread(options.goals, p.key);
  if (!lists.ok) return [{ ...lists, which: '' }];
  return lists.value.map((goals) => ({
    ...moveTo(shell, p, options, goals),
    which: whichOf(goals, lists.value),
  }));
}

function moveTo(
  shell: Shell,
  p: Phrase,
  options: MoveOptions,
  goals: readonly Goal[],
): Result<Asked> {
  const requests = requestsOf(options, goals, p.key);
  if (!requests.ok) return requests;
  const moved = movePhraseOn(p, requests.value);
  if (!moved.ok) return moved;
  const { phrase, report } = moved.value;
  const to = requests.value.map((r) => r.to);
  const title = childTitle(p, phrase, to);
  const now = shell.io.now().toISOString();
  const child = childOf(p, phrase, { id: shell.io.newId(), now, title });
  return ok({ phrase: child, report, requests: requests.value });
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
  return lossesOfMove(p, report)
    .map((l) => `${path}: ${l}\n`)
    .join('');
}
