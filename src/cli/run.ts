import { version } from '../../package.json';
import { formPlayed } from '../core/form/played';
import type { Form } from '../core/form/types';
import type { Phrase } from '../core/phrase/types';
import type { Problem } from '../core/result';
import type { Thing } from '../io/kinds/kind';
import { FORMS } from '../io/kinds/kinds';
import { type Command, readCommand, whereHelpIs } from './args';
import { carryLibrary } from './commands/carry';
import { catchPhrases } from './commands/catch';
import { checkSource } from './commands/check';
import { convertSource } from './commands/convert';
import { type CutOptions, cutSource, writeCut } from './commands/cut';
import { easierText, type ListedPlayability, listEasier, printEasier } from './commands/easier';
import { type Collected, tellFound } from './commands/find';
import { type FormsOfFile, ownFormNamed, printForms, readForm } from './commands/forms';
import { writeLesson } from './commands/lesson';
import { writeMerged } from './commands/merge';
import { moveSource, remarkOnMove } from './commands/move';
import { drawNecks } from './commands/neck';
import { tellPlans } from './commands/plan';
import {
  type ListedPositions,
  listPositions,
  type PositionChoice,
  positionsText,
  printPositions,
} from './commands/positions';
import { printShapes } from './commands/shapes';
import { type ListedPhrase, listSource, listText, showSource } from './commands/show';
import { proposeChoruses } from './commands/solo';
import { tellStats } from './commands/stats';
import { listVariations, varyFiles } from './commands/vary';
import { filesIn } from './folders';
import { helpText } from './help';
import type { Source } from './input';
import type { CliIo, ExitCode } from './io';
import { KeptPhrases } from './kept-phrases';
import { ofKind } from './of-kind';
import { type OutputPlan, planOutput } from './output';
import { Shell } from './shell';
import { collect, eachSource, noPhrase } from './sources';

/**
 * The whole command line: reads the words, does the work, tells what is wrong in plain words.
 * Each file stands for itself: one that is wrong does not keep the others from being done.
 * @param args The words behind the program's name.
 * @returns 0 done, 1 something that was read is wrong, 2 the command line is wrong.
 */
export async function run(args: readonly string[], io: CliIo): Promise<ExitCode> {
  const shell = new Shell(io);
  const command = readCommand(args);
  if (!command.ok) {
    for (const p of command.problems) shell.misuse(p);
    shell.remark(`${whereHelpIs(args[0])}\n`);
    return 2;
  }
  await carryOut(shell, command.value);
  shell.clearProgress();
  return shell.exitCode;
}

async function carryOut(shell: Shell, command: Command): Promise<void> {
  shell.reads = command.read ?? {};
  switch (command.name) {
    case 'help':
      return shell.print(helpText(command.topic));
    case 'version':
      return shell.print(`degreewise ${version}\n`);
    case 'check':
      return eachSource(shell, command.files, (s) => checkSource(shell, s), { remarks: false });
    case 'show':
      if (command.json) return listFiles(shell, command.files);
      return eachSource(shell, command.files, (s, first) => showSource(shell, s, first));
    case 'vary':
      return vary(shell, command);
    case 'lesson':
      return lesson(shell, command);
    case 'plan':
      return plan(shell, command);
    case 'forms':
      return forms(shell, command);
    case 'solo':
      return solo(shell, command);
    case 'catch':
      return caught(shell, command);
    case 'positions':
      if (command.easier) return easier(shell, command);
      if (command.json) return listAllPositions(shell, command);
      return eachSource(shell, command.files, (s, first) =>
        printPositions(shell, s, command, first),
      );
    case 'shapes':
      return printShapes(shell, command.shapes);
    case 'neck':
      return eachSource(shell, command.files, (s) =>
        drawNecks(shell, s, command.neck, command.files.length > 1),
      );
    case 'convert': {
      const plan = await planOutput(shell.io, command.files, command.output, false);
      if (!plan.ok) return misuse(shell, plan.problems);
      return eachSource(shell, command.files, (s) => convertSource(shell, plan.value, s));
    }
    case 'move': {
      let plan: OutputPlan | null = null;
      remarkOnMove(shell, command.move);
      if (command.output !== null) {
        const planned = await planOutput(shell.io, command.files, command.output, true);
        if (!planned.ok) return misuse(shell, planned.problems);
        plan = planned.value;
      }
      return eachSource(shell, command.files, (s, first) =>
        moveSource(shell, command.move, plan, s, first),
      );
    }
    case 'find': {
      const { like } = command.find;
      const liked = like === undefined ? [] : await collect(shell, [like]);
      if (like !== undefined && liked.length === 0) return noPhrase(shell, [like]);
      const others: Thing[] = [];
      const all = await collect(shell, command.files, others);
      return tellFound(shell, command.find, all, others, liked[0]?.phrase ?? null);
    }
    case 'stats': {
      const others: Thing[] = [];
      const all = await collect(shell, command.files, others);
      return tellStats(shell, command.json, all, others);
    }
    case 'cut':
      return cut(shell, command.cut, command.files);
    case 'carry':
      return carryLibrary(shell, command.carry);
    case 'merge':
      return merge(shell, command);
  }
}

type Named<N extends Command['name']> = Extract<Command, { readonly name: N }>;

/** Hears a recording. */
async function caught(shell: Shell, command: Named<'catch'>): Promise<void> {
  let plan: OutputPlan | null = null;
  if (command.output !== null) {
    const planned = await planOutput(shell.io, [command.file], command.output, true);
    if (!planned.ok) return misuse(shell, planned.problems);
    plan = planned.value;
  }
  return catchPhrases(shell, command, plan);
}

/** Lists the variations, or varies every phrase. */
async function vary(shell: Shell, command: Named<'vary'>): Promise<void> {
  if (command.kind === 'list') return shell.print(listVariations(command.json, shell.width));
  let plan: OutputPlan | null = null;
  if (command.output !== null) {
    const planned = await planOutput(shell.io, command.files, command.output, true);
    if (!planned.ok) return misuse(shell, planned.problems);
    plan = planned.value;
  }
  return varyFiles(shell, command, plan, (work) => eachSource(shell, command.files, work));
}

/** Lists song forms; with a file missing it would look as if there were fewer. */
async function forms(shell: Shell, command: Named<'forms'>): Promise<void> {
  const found: FormsOfFile[] = [];
  await eachSource(shell, await filesIn(shell, command.files), (s) => {
    const here = ofKind(s.others ?? [], FORMS);
    if (here.length > 0) found.push({ file: s.path, forms: here });
  });
  if (shell.exitCode !== 0) return;
  if (command.files.length === 0 || found.length > 0) {
    return printForms(shell, command.json, found);
  }
  const fix =
    "Give a file or a folder that holds forms; 'degreewise forms' lists the standard ones.";
  shell.refuse(command.files.join(', '), [{ message: 'there is no song form here', fix }]);
}

/** Lays the phrases of files over a form. */
async function solo(shell: Shell, command: Named<'solo'>): Promise<void> {
  const { form: asked } = command;
  const others: Thing[] = [];
  let all: readonly Collected[] | null = null;
  let form: Form | null;
  if ('file' in asked) form = await readForm(shell, asked.file);
  else if ('named' in asked) {
    all = await collect(shell, command.files, others);
    form = ownFormNamed(shell, asked.named, others);
  } else form = asked;
  if (form === null) return;
  let plan: OutputPlan | null = null;
  if (command.output !== null) {
    const planned = await planOutput(shell.io, [form.id], command.output, false);
    if (!planned.ok) return misuse(shell, planned.problems);
    plan = planned.value;
  }
  all ??= await collect(shell, command.files);
  if (all.length === 0) return noPhrase(shell, command.files);
  return proposeChoruses(
    shell,
    command,
    formPlayed(form, command.played),
    plan,
    all.map((c) => c.phrase),
  );
}

/** Puts a lesson together. */
async function lesson(shell: Shell, command: Named<'lesson'>): Promise<void> {
  const things: Source[] = [];
  await eachSource(shell, await filesIn(shell, command.files), (s) => {
    things.push(s);
  });
  // A lesson with something missing would look whole.
  return shell.exitCode === 0 ? writeLesson(shell, command, things) : undefined;
}

/** Tells what practice plans ask for. */
async function plan(shell: Shell, command: Named<'plan'>): Promise<void> {
  const others: Thing[] = [];
  await collect(shell, command.files, others);
  // With something missing it would look as if less were due.
  if (shell.exitCode === 0) tellPlans(shell, command.plan, others);
}

/** Puts libraries together. */
async function merge(shell: Shell, command: Named<'merge'>): Promise<void> {
  const scratch = shell.io.scratch();
  try {
    await mergeIn(shell, command, new KeptPhrases(scratch));
  } finally {
    scratch.end();
  }
}

async function mergeIn(shell: Shell, command: Named<'merge'>, phrases: KeptPhrases): Promise<void> {
  shell.reads = { ...shell.reads, taking: phrases };
  const others: (readonly Thing[])[] = [];
  for (const path of command.files) {
    const here: Thing[] = [];
    await eachSource(shell, await filesIn(shell, [path]), (s) => {
      for (const p of s.phrases) phrases.takeRead(p);
      here.push(...(s.others ?? []));
    });
    others.push(here);
  }
  // A library with something missing would look whole.
  if (shell.exitCode !== 0) return;
  if (phrases.all.length === 0 && others.every((o) => o.length === 0)) {
    return noPhrase(shell, command.files);
  }
  return writeMerged(shell, phrases.all, others, command.to);
}

async function cut(shell: Shell, o: CutOptions, files: readonly string[]): Promise<void> {
  const pieces: { path: string; phrases: readonly Phrase[] }[] = [];
  await eachSource(shell, await filesIn(shell, files), (s) => {
    pieces.push({ path: s.path, phrases: cutSource(shell, o, s) });
  });
  if (pieces.every((p) => p.phrases.length === 0)) return noPhrase(shell, files);
  return writeCut(shell, o, pieces);
}

function misuse(shell: Shell, problems: readonly Problem[]): void {
  for (const p of problems) shell.misuse(p);
}

async function listFiles(shell: Shell, files: readonly string[]): Promise<void> {
  const all: ListedPhrase[] = [];
  let single = files.length === 1;
  await eachSource(shell, files, (s) => {
    all.push(...listSource(s));
    if (s.library) single = false;
  });
  if (all.length > 0 || !single) shell.print(listText(all, single));
}

async function easier(
  shell: Shell,
  { files, json }: { readonly files: readonly string[]; readonly json: boolean },
): Promise<void> {
  if (!json) return eachSource(shell, files, (s, first) => printEasier(shell, s, first));
  const all: ListedPlayability[] = [];
  let single = files.length === 1;
  await eachSource(shell, files, (s) => {
    all.push(...listEasier(shell, s));
    if (s.library) single = false;
  });
  if (all.length > 0 || !single) shell.print(easierText(all, single));
}

async function listAllPositions(
  shell: Shell,
  command: PositionChoice & { readonly files: readonly string[] },
): Promise<void> {
  const all: ListedPositions[] = [];
  let single = command.files.length === 1;
  await eachSource(shell, command.files, (s) => {
    all.push(...listPositions(shell, s, command));
    if (s.library) single = false;
  });
  if (all.length > 0 || !single) shell.print(positionsText(all, single));
}
