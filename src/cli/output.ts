import { partBeneath } from '../core/backing/comp-part';
import { shownTitle } from '../core/phrase/record';
import type { Phrase } from '../core/phrase/types';
import { takesOf } from '../core/practice/takes';
import { fail, formatProblem, ok, type Problem, type Result } from '../core/result';
import { stemOf } from '../io/file/formats';
import type { Thing } from '../io/kinds/kind';
import { takenApart } from '../publish/apart';
import { type Content, type Look, type Tools, USUAL_LOOK } from '../publish/format';
import { formatRow, type PublishFormat, publishFormatOf } from '../publish/formats';
import { leftOut, libraryBytes } from '../publish/publish';
import { readSource, type Source } from './input';
import type { CliIo, Files } from './io';
import { ENDINGS, type OutputOptions } from './output-flags';
import type { Shell } from './shell';
import { count } from './words';

/** Where the results of a command go. */
export type OutputPlan = {
  readonly path: string;
  readonly force: boolean;
  readonly apart: boolean;
  readonly look: Partial<Look>;
} & (
  | { readonly kind: 'file'; readonly format: PublishFormat }
  /** Null: each file in the format it was read in. */
  | { readonly kind: 'folder'; readonly format: PublishFormat | null }
);

/**
 * Decides where to write before anything is read, so that a wrong command line writes nothing.
 * @param asRead Whether files in a folder keep their format when none is named.
 */
export async function planOutput(
  io: CliIo,
  inputs: readonly string[],
  options: OutputOptions,
  asRead: boolean,
): Promise<Result<OutputPlan>> {
  const plan = await planPlace(io.files, inputs, options, asRead);
  if (!plan.ok) return plan;
  const comping = await readComping(io, 'comping', options.comping);
  if (!comping.ok) return comping;
  const beneath = await readComping(io, 'beneath', options.beneath);
  if (!beneath.ok) return beneath;
  const rhythm = beneath.value;
  const look: Partial<Look> = {
    ...plan.value.look,
    ...(comping.value === null ? {} : { comping: comping.value }),
    ...(rhythm === null ? {} : { beneath: (p: Phrase) => partBeneath(p, rhythm) }),
  };
  const idle = plan.value.format === null ? null : idleFlag(look, plan.value.format);
  return idle === null ? ok({ ...plan.value, look }) : fail(idle);
}

/** The rhythm that an option names: the one phrase of a file; null where it names none. */
async function readComping(
  io: CliIo,
  option: 'comping' | 'beneath',
  path: string | undefined,
): Promise<Result<Phrase | null>> {
  if (path === undefined) return ok(null);
  const read = await readSource(io, path);
  if (!read.ok)
    return fail({
      // What is said of the file ends with a full stop, as this does.
      message: `the rhythm '${path}': ${read.problems.map(formatProblem).join(' ').replace(/\.$/u, '')}`,
    });
  const [phrase, second] = read.value.phrases;
  if (phrase === undefined || second !== undefined)
    return fail({
      message: `'${path}' holds ${count(read.value.phrases.length, 'phrase')}, and --${option} takes one`,
      fix: 'Name a file with one phrase, whose chords or double stops are the rhythm.',
    });
  return ok(phrase);
}

async function planPlace(
  files: Files,
  inputs: readonly string[],
  options: OutputOptions,
  asRead: boolean,
): Promise<Result<OutputPlan>> {
  const { out, force, apart, look } = options;
  const ending = publishFormatOf(out);
  const there = await files.kindOf(out);
  const unmade = options.format ?? ending;
  if (unmade !== null && formatRow(unmade).made !== 'anywhere') return fail(needsBrowser(unmade));
  const folder =
    there === 'folder' || /[/\\]$/u.test(out) || (inputs.length > 1 && ending === null);
  if (folder) return planFolder(inputs, options, there === 'file', asRead);
  if (inputs.length > 1) {
    return fail({
      message: `'${out}' is the name of a file, and with several files -o names a folder`,
      fix: 'Leave the ending away, and name the format with --format where you need another.',
    });
  }
  const format = options.format ?? ending;
  if (format === null) {
    return fail({
      message: `the ending of '${out}' does not say in which format to write`,
      fix: `Use ${ENDINGS}.`,
    });
  }
  if (ending !== null && format !== ending) {
    return fail({ message: `--format ${format} does not go with the ending of '${out}'` });
  }
  const idle = idleFlag(look, format);
  if (idle !== null) return fail(idle);
  if (there === 'file' && !force && !apart) return fail(exists(out));
  return ok({ kind: 'file', path: out, format, force, apart, look });
}

function planFolder(
  inputs: readonly string[],
  options: OutputOptions,
  taken: boolean,
  asRead: boolean,
): Result<OutputPlan> {
  const { out, force, apart, look } = options;
  const format = options.format ?? null;
  if (taken) return fail({ message: `'${out}' is a file and no folder` });
  if (format === null && !asRead) {
    return fail({
      message: `'${out}' is a folder, which has no ending to tell the format`,
      fix: `Add --format and an ending: ${ENDINGS}.`,
    });
  }
  const idle = format === null ? null : idleFlag(look, format);
  if (idle !== null) return fail(idle);
  const stems = inputs.map(stemOf);
  const twice = stems.find((s, i) => stems.indexOf(s) !== i);
  if (twice !== undefined) {
    return fail({
      message: `two of the files would be written under the name '${twice}'`,
      fix: 'Give them to two commands with a folder each.',
    });
  }
  return ok({ kind: 'folder', path: out, format, force, apart, look });
}

const GOES_INTO = {
  backing: '.mid or .wav',
  seed: '.mid or .wav',
  rounds: '.mid or .wav',
  beneath: '.svg, .musicxml, .mid or .wav',
  bits: '.wav',
} as const;

/** An option that was given and means nothing in this format, so that nobody waits for a band that never comes. */
function idleFlag(look: Partial<Look>, format: PublishFormat): Problem | null {
  const idle = (['backing', 'seed', 'beneath', 'rounds', 'bits'] as const).find(
    (part) => look[part] !== undefined && !formatRow(format).asks.includes(part),
  );
  if (idle === undefined) return null;
  return {
    message: `--${idle} means nothing in a .${format} file`,
    fix: `Write ${GOES_INTO[idle]}, or leave it out.`,
  };
}

function needsBrowser(format: PublishFormat) {
  const { name } = formatRow(format);
  return {
    message: `a ${name.toLowerCase()} (.${format}) is made by the app in the browser only`,
    fix: 'Write a drawing (.svg), which is sharp at any size, or export the phrase in the app.',
  };
}

function exists(path: string) {
  return { message: `there is a file '${path}' already`, fix: 'Add --force to replace it.' };
}

/** A file to be written. */
interface OutputFile {
  readonly path: string;
  readonly format: PublishFormat;
  readonly content: readonly Phrase[];
  /** What a library holds besides. */
  readonly others: readonly Thing[];
  /** Whether the phrases are written as a library. */
  readonly library: boolean;
}

/**
 * Writes what a command made of the phrases of one source, and says what was written.
 * A library stays one file in JSON; in other formats each of its phrases is a file.
 */
export async function writeOutput(
  shell: Shell,
  plan: OutputPlan,
  source: Source,
  phrases: readonly Phrase[],
  others: readonly Thing[] = [],
): Promise<void> {
  const files = filesOf(plan, source, phrases, others);
  if (!files.ok) {
    for (const p of files.problems) shell.misuse(p);
    return;
  }
  for (const f of files.value) {
    const unsound = problemOfRounds(f, plan.look);
    if (unsound.length > 0) {
      shell.refuse(source.path, unsound);
      continue;
    }
    if (plan.apart)
      for (const round of roundsApart(shell, f, plan.look))
        await writeFile(shell, plan, round, { ...plan.look, rounds: { kind: 'same' } });
    else await writeFile(shell, plan, f, plan.look);
  }
}

async function writeFile(
  shell: Shell,
  plan: OutputPlan,
  f: OutputFile,
  look: Partial<Look>,
): Promise<void> {
  const bytes = await encode(f, look);
  const written = await shell.io.files.write(f.path, bytes, plan.force);
  if (!written.ok) shell.refuse(f.path, written.problems);
  else if (written.value === 'taken') shell.misuse(exists(f.path));
  else {
    shell.print(`wrote ${f.path}\n`);
    const left = await leftOut(f.content, f.format);
    if (left.length > 0) shell.remark(`${f.path}: not kept: ${left.join(', ')}\n`);
    const bare = formatRow(f.format).asks.includes('beneath')
      ? f.content.filter((p) => look.beneath?.(p) === null)
      : [];
    for (const p of bare) shell.remark(`${f.path}: nothing went beneath ${quoted(p)}\n`);
  }
}

/** Its bars are counted otherwise, or are repeated, or there are no chords (`whyNot` in `comp-part.ts`). */
function quoted({ meta }: Phrase): string {
  return `“${shownTitle(meta)}”: its metre, its repeats or its chords do not go with the rhythm`;
}

/** Every round as a file of its own, named by its place and its key or chord; what cannot be played or changed is told. */
function roundsApart(shell: Shell, f: OutputFile, look: Partial<Look>): readonly OutputFile[] {
  const [phrase] = f.content;
  const apart = phrase === undefined ? null : takenApart(phrase, look.rounds ?? { kind: 'same' });
  if (apart?.ok !== true) return [];
  for (const line of apart.value.left) shell.remark(`${f.path}: left out ${line}\n`);
  for (const line of apart.value.changes) shell.remark(`${f.path}: ${line}\n`);
  return apart.value.takes.map((take) => {
    const path = f.path.replace(/(\.[^./\\]+)$/u, `-${take.name}$1`);
    return { ...f, path, content: [take.phrase] };
  });
}

/** What is wrong with the rounds for this phrase; numerals and moves depend on it. */
function problemOfRounds(f: OutputFile, look: Partial<Look>): readonly Problem[] {
  if (look.rounds === undefined || f.library) return [];
  const takes = f.content.map((p) => takesOf(p, look.rounds!));
  return takes.flatMap((t) => (t.ok ? [] : t.problems));
}

function filesOf(
  plan: OutputPlan,
  source: Source,
  phrases: readonly Phrase[],
  others: readonly Thing[],
): Result<readonly OutputFile[]> {
  const format = plan.format ?? source.format;
  const whole: Omit<OutputFile, 'path'> = {
    format,
    content: phrases,
    others,
    library: source.library,
  };
  const single = !source.library || format === 'json';
  if (plan.kind === 'file') {
    if (single || phrases.length === 1) return ok([{ ...whole, path: plan.path }]);
    return fail({
      message: `'${source.path}' holds ${count(phrases.length, 'phrase')}, which do not fit into one .${format} file`,
      fix: 'Let -o name a folder, or a .json file for the library.',
    });
  }
  const base = `${plan.path.replace(/[/\\]+$/u, '')}/${stemOf(source.path)}`;
  if (single) return ok([{ ...whole, path: `${base}.${format}` }]);
  const digits = String(phrases.length).length;
  return ok(
    phrases.map((p, i) => ({
      path: `${base}-${String(i + 1).padStart(digits, '0')}.${format}`,
      format,
      content: [p],
      others: [],
      library: false,
    })),
  );
}

async function encode(f: OutputFile, look: Partial<Look>): Promise<Uint8Array> {
  const content = await contentOf(f, look);
  return typeof content === 'string' ? new TextEncoder().encode(content) : content;
}

async function contentOf(f: OutputFile, look: Partial<Look>): Promise<Content> {
  const row = formatRow(f.format);
  if (f.library && row.several === 'library') return libraryBytes(f.content, f.others);
  const [phrase] = f.content;
  if (phrase === undefined) throw new RangeError('there is no phrase to write');
  const degrees = row.degrees ? degreeView(phrase) : 'off';
  const write = await row.writer();
  return write(phrase, { ...USUAL_LOOK, degrees, ...look }, NODE_TOOLS);
}

/** There is no browser: drawings carry the fonts that the program has with it. */
export const NODE_TOOLS: Tools = {
  font: async (file) => (await import('../engrave/font/files-data')).FONT_FILES[file],
  paint: null,
};

/** Against the chords, or against the key where there is no lane. */
export function degreeView(...phrases: readonly Phrase[]): 'chord' | 'key' {
  return phrases.some((p) => p.chords.length > 0) ? 'chord' : 'key';
}
