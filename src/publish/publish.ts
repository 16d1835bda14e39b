import type { Phrase } from '../core/phrase/types';
import { encodeLibrary } from '../io/json';
import { fileStem, uniqueNames } from './file-names';
import type { Content, Look, Tools } from './format';
import { formatRow, type PublishFormat } from './formats';

/** A file that is ready to be saved. */
export interface OutFile {
  readonly name: string;
  readonly type: string;
  readonly content: Content;
}

/** How far it has come; it can be stopped between two phrases. */
export interface Progress {
  readonly onPhrase: (done: number) => void;
  readonly signal: AbortSignal;
}

/**
 * Writes phrases to one file: a phrase of its own, several as a library (JSON), one text, or a zip
 * archive of one file each.
 * @throws DOMException `AbortError` when it is stopped.
 */
export async function publish(
  phrases: readonly Phrase[],
  format: PublishFormat,
  look: Look,
  tools: Tools,
  progress: Progress,
): Promise<OutFile> {
  const [only] = phrases;
  if (only === undefined) throw new RangeError('there is nothing to export');
  const { several, type, writer } = formatRow(format);
  const single = phrases.length === 1;
  const stem = single ? fileStem(only.meta.title) : 'phrases';
  const whole = (content: Content) => ({ name: `${stem}.${format}`, type, content });
  if (!single && several === 'library') return whole(libraryText(phrases));
  const write = await writer();
  const written: Content[] = [];
  for (const [done, phrase] of phrases.entries()) {
    progress.onPhrase(done);
    await new Promise((resolve) => setTimeout(resolve));
    progress.signal.throwIfAborted();
    written.push(await write(phrase, look, tools));
  }
  if (single) return whole(written[0]!);
  if (several === 'text') return whole(written.join('\n\n'));
  const names = uniqueNames(
    phrases.map((p) => fileStem(p.meta.title)),
    format,
  );
  return { name: `${stem}.zip`, type: 'application/zip', content: await zip(names, written) };
}

/** Phrases as one library file. */
export function libraryText(phrases: readonly Phrase[]): string {
  return encodeLibrary({ format: 'degreewise-library', version: 1, phrases });
}

/** What of these phrases a format does not keep, in words; each once. */
export async function leftOut(
  phrases: readonly Phrase[],
  format: PublishFormat,
): Promise<readonly string[]> {
  const left = await formatRow(format).left?.();
  return left === undefined ? [] : [...new Set(phrases.flatMap(left))];
}

async function zip(
  names: readonly string[],
  contents: readonly Content[],
): Promise<Uint8Array<ArrayBuffer>> {
  const { strToU8, zipSync } = await import('fflate');
  const entries = names.map((name, i) => {
    const content = contents[i]!;
    return [name, typeof content === 'string' ? strToU8(content) : content] as const;
  });
  return new Uint8Array(zipSync(Object.fromEntries(entries)));
}
