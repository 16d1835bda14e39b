import type { Phrase } from '../core/phrase/types';
import type { Problem } from '../core/result';
import type { ReadChoice } from '../io/file/decode-file';
import { isScoreFormat } from '../io/file/formats';
import type { Thing } from '../io/kinds/kind';
import type { Collected } from './commands/find';
import { filesIn } from './folders';
import { HeldPhrase } from './held-phrase';
import { readSource, type Source } from './input';
import type { Shell } from './shell';

/**
 * Every phrase of files and folders, with where it stands; held as texts, of which one is read when it is looked at.
 * @param others Takes what is no phrase.
 */
export async function collect(
  shell: Shell,
  paths: readonly string[],
  others: Thing[] = [],
): Promise<readonly Collected[]> {
  const all: Collected[] = [];
  const reads = shell.reads;
  let here: string[] = [];
  const take = (p: Phrase) => void here.push(HeldPhrase.textOf(p));
  shell.reads = { ...reads, taking: { known: () => null, take } };
  await eachSource(
    shell,
    await filesIn(shell, paths),
    (s) => {
      for (const p of s.phrases) take(p);
      for (const [i, text] of here.entries()) {
        all.push(new HeldPhrase(s.path, s.library ? i + 1 : null, text));
      }
      others.push(...(s.others ?? []));
    },
    // What was taken of a file that was refused is left.
    {
      begin: () => {
        here = [];
      },
    },
  );
  shell.reads = reads;
  return all;
}

interface EachSource {
  /** Whether what of a file was not understood is told; when absent it is. */
  readonly remarks?: boolean;
  /** Called before each file. */
  readonly begin?: () => void;
}

/** Reads the files one after the other and hands on what could be read. */
export async function eachSource(
  shell: Shell,
  files: readonly string[],
  work: (source: Source, first: boolean) => void | Promise<void>,
  { remarks = true, begin }: EachSource = {},
): Promise<void> {
  let first = true;
  for (const [i, path] of files.entries()) {
    shell.progress(i, files.length, path);
    begin?.();
    try {
      const source = await readSource(shell.io, path, shell.reads);
      if (!source.ok) {
        shell.refuse(path, source.problems, source.text);
        continue;
      }
      const idle = idleChoice(shell.reads, source.value);
      if (idle !== null) shell.remark(`${path}: ${idle}\n`);
      if (remarks) {
        for (const r of source.value.remarks) shell.remark(`${path}: ${r}\n`);
      }
      await work(source.value, first);
      first = false;
    } catch (e) {
      shell.refuse(path, [failure(e)]);
    }
  }
}

/** What was chosen of a score, where the file is none; null where that goes with it. */
function idleChoice({ part, staff, octave }: ReadChoice, { format }: Source): string | null {
  if (isScoreFormat(format)) return null;
  const given = Object.entries({ part, staff, octave }).flatMap(([name, x]) =>
    x === undefined ? [] : [name],
  );
  if (given.length === 0) return null;
  return `${given.join(' and ')} can be chosen of a score or a MIDI file, and this is none; all of it was read as it stands.`;
}

/** A fault of the program, told without its inner workings; the other files are still done. */
function failure(e: unknown): Problem {
  const reason = e instanceof Error ? e.message : String(e);
  return {
    message: `the program has a fault and could not finish this file (${reason})`,
    fix: 'Please report it with the file.',
  };
}

/** Says that there is no phrase where one was looked for, unless it is told already why none could be read. */
export function noPhrase(shell: Shell, files: readonly string[]): void {
  if (shell.exitCode !== 0) return;
  const fix = 'Give a library file, or a folder that holds phrases.';
  shell.refuse(files.join(', '), [{ message: 'there is no phrase here', fix }]);
}
