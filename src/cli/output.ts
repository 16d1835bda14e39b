import type { Phrase } from '../core/phrase/types';
import { fail, ok, type Result } from '../core/result';
import { type FileFormat, formatOfName, stemOf } from '../io/file/formats';
import { encodeLibrary, encodePhrase } from '../io/json';
import { writeMxl } from '../io/musicxml/package/mxl';
import { writeMusicXml } from '../io/musicxml/write/write-musicxml';
import { writeQuick } from '../io/quick/write';
import { writeTextTab } from '../io/text-tab/write/write-text-tab';
import type { OutputOptions } from './args';
import type { Source } from './input';
import type { Files } from './io';
import { PAGE_WIDTH, type Shell } from './shell';
import { count } from './words';

/** Where the results of a command go. */
export type OutputPlan =
  | {
      readonly kind: 'file';
      readonly path: string;
      readonly format: FileFormat;
      readonly force: boolean;
    }
  | {
      readonly kind: 'folder';
      readonly path: string;
      /** Null: each file in the format it was read in. */
      readonly format: FileFormat | null;
      readonly force: boolean;
    };

/**
 * Decides where to write before anything is read, so that a wrong command line writes nothing.
 * @param asRead Whether files in a folder keep their format when none is named.
 */
export async function planOutput(
  files: Files,
  inputs: readonly string[],
  options: OutputOptions,
  asRead: boolean,
): Promise<Result<OutputPlan>> {
  const { out, force } = options;
  const ending = formatOfName(out);
  const there = await files.kindOf(out);
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
      fix: 'Use .json, .musicxml, .mxl, .txt or .quick.',
    });
  }
  if (ending !== null && format !== ending) {
    return fail({ message: `--format ${format} does not go with the ending of '${out}'` });
  }
  if (there === 'file' && !force) return fail(exists(out));
  return ok({ kind: 'file', path: out, format, force });
}

function planFolder(
  inputs: readonly string[],
  options: OutputOptions,
  taken: boolean,
  asRead: boolean,
): Result<OutputPlan> {
  const { out, force } = options;
  const format = options.format ?? null;
  if (taken) return fail({ message: `'${out}' is a file and no folder` });
  if (format === null && !asRead) {
    return fail({
      message: `'${out}' is a folder, which has no ending to tell the format`,
      fix: 'Add --format json, musicxml, mxl, txt or quick.',
    });
  }
  const stems = inputs.map(stemOf);
  const twice = stems.find((s, i) => stems.indexOf(s) !== i);
  if (twice !== undefined) {
    return fail({
      message: `two of the files would be written under the name '${twice}'`,
      fix: 'Give them to two commands with a folder each.',
    });
  }
  return ok({ kind: 'folder', path: out, format, force });
}

function exists(path: string) {
  return { message: `there is a file '${path}' already`, fix: 'Add --force to replace it.' };
}

/** A file to be written. */
interface OutputFile {
  readonly path: string;
  readonly format: FileFormat;
  readonly content: readonly Phrase[];
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
): Promise<void> {
  const files = filesOf(plan, source, phrases);
  if (!files.ok) {
    for (const p of files.problems) shell.misuse(p);
    return;
  }
  for (const f of files.value) {
    const written = await shell.io.files.write(f.path, encode(f), plan.force);
    if (!written.ok) shell.refuse(f.path, written.problems);
    else if (written.value === 'taken') shell.misuse(exists(f.path));
    else {
      shell.print(`wrote ${f.path}\n`);
      const left = f.format === 'quick' ? f.content.flatMap((p) => writeQuick(p).left) : [];
      if (left.length > 0) shell.remark(`${f.path}: not kept: ${left.join(', ')}\n`);
    }
  }
}

function filesOf(
  plan: OutputPlan,
  source: Source,
  phrases: readonly Phrase[],
): Result<readonly OutputFile[]> {
  const format = plan.format ?? source.format;
  const whole: Omit<OutputFile, 'path'> = { format, content: phrases, library: source.library };
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
      library: false,
    })),
  );
}

function encode(f: OutputFile): Uint8Array {
  const phrase = f.content[0];
  const utf8 = new TextEncoder();
  if (f.format === 'json' && f.library) {
    return utf8.encode(
      encodeLibrary({ format: 'degreewise-library', version: 1, phrases: f.content }),
    );
  }
  if (phrase === undefined) throw new RangeError('there is no phrase to write');
  switch (f.format) {
    case 'json':
      return utf8.encode(encodePhrase(phrase));
    case 'musicxml':
      return utf8.encode(xmlOf(phrase));
    case 'mxl':
      return writeMxl(xmlOf(phrase));
    case 'txt':
      return utf8.encode(writeTextTab(phrase, { width: PAGE_WIDTH, degrees: degreeView(phrase) }));
    case 'quick':
      return utf8.encode(`${writeQuick(phrase).text}\n`);
  }
}

/** The day the phrase was last changed stands for the day of encoding, so that equal phrases give equal files. */
function xmlOf(p: Phrase): string {
  return writeMusicXml(p, { encodingDate: p.meta.modified.slice(0, 10) });
}

/** Against the chords, or against the key where there is no lane. */
export function degreeView(...phrases: readonly Phrase[]): 'chord' | 'key' {
  return phrases.some((p) => p.chords.length > 0) ? 'chord' : 'key';
}
