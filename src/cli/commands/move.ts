import { parseLane } from '../../core/move/lane';
import { movePhrase } from '../../core/move/move';
import type { Adaptation, Destination, Moved, MoveRequest } from '../../core/move/request';
import { positionOf } from '../../core/phrase/time';
import type { Phrase } from '../../core/phrase/types';
import { ok, type Problem, type Result } from '../../core/result';
import { parseChordOrRoman } from '../../core/theory/roman';
import { CHANGE_MARK, changedNotes, writeMoveReport } from '../../io/text/move-report';
import { writeTextTabs } from '../../io/text-tab/write/write-text-tab';
import type { Goal, MoveOptions } from '../args';
import type { Source } from '../input';
import { degreeView, type OutputPlan, writeOutput } from '../output';
import type { Shell } from '../shell';

/** Says which option has no effect with the way that is used. */
export function remarkOnMove(shell: Shell, options: MoveOptions): void {
  const way = options.way ?? (options.goal.kind === 'steps' ? 'tonal' : null);
  if (options.octave !== undefined && (way === 'hold' || way === 'tonal')) {
    shell.remark(`degreewise: --octave changes nothing with the way ${way}.\n`);
  }
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
  const to = destinationOf(options.goal, p);
  if (!to.ok) return to;
  const { way, octave, hand, adapt } = options;
  const request: MoveRequest = {
    to: to.value,
    adapt,
    ...(way === undefined ? {} : { way }),
    ...(octave === undefined ? {} : { octave }),
    ...(hand === undefined ? {} : { hand }),
  };
  return movePhrase(p, request);
}

function destinationOf(goal: Goal, p: Phrase): Result<Destination> {
  switch (goal.kind) {
    case 'key': {
      // A blues moved to C goes to a blues in C: its signature is the major one (D6).
      const blues = goal.bare && p.key.mode === 'blues';
      return ok({ kind: 'key', key: blues ? { ...goal.key, mode: 'blues' } : goal.key });
    }
    case 'steps':
      return ok(goal);
    case 'chord': {
      const chord = parseChordOrRoman(goal.text, p.key);
      return chord.ok ? ok({ kind: 'chord', chord: chord.value }) : chord;
    }
    case 'lane': {
      const bars = parseLane(goal.text, p.key);
      return bars.ok ? ok({ kind: 'lane', bars: bars.value }) : bars;
    }
  }
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
