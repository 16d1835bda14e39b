import type { Phrase } from '../../../core/phrase/types';
import { formatProblem } from '../../../core/result';
import type { Thing } from '../../../io/kinds/kind';
import { fileStem, numberedStems } from '../../../publish/file-names';
import type { Look } from '../../../publish/format';
import { formatRow, PUBLISH_FORMATS, type PublishFormat } from '../../../publish/formats';
import {
  leftOut,
  type Named,
  type Progress,
  publish,
  publishApart,
  publishLibrary,
  publishTexts,
} from '../../../publish/publish';
import type { LibraryStore } from '../../../storage/types';
import { blobParts } from '../../shared/blob-parts';
import { NotThere, onDemand } from '../../shared/on-demand';
import { count } from '../../shared/words';
import { phrasesOf } from '../phrases-of';
import type { ToExport } from './to-export';
import { BROWSER_TOOLS } from './tools';

/** What is chosen of an export. */
export type ExportChoice = Look & {
  readonly format: PublishFormat;
  /** Every key of the rounds a file of its own. */
  readonly apart: boolean;
  /** Of what is written to one text, every phrase a file of its own. */
  readonly each: boolean;
};

/** Milliseconds between two words on how far it has come. */
const TELL = 100;

/** What writes each format, and what packs several files: fetched ahead, and asked for before it is used. */
const WRITERS = new Map(
  PUBLISH_FORMATS.map((f) => {
    const { name, writer, left } = formatRow(f);
    return [f, onDemand(`What writes ${name}`, () => Promise.all([writer(), left?.()]))];
  }),
);
const rounds = onDemand('What goes through the keys', () => import('../../../publish/apart'));
const packing = onDemand('What packs files', () => import('fflate'));

/**
 * Writes phrases as they were chosen to be.
 * @param tell Hears of the place of the phrase that is written, some times a second.
 * @param others What goes with them in a library file.
 * @returns the file, and what of the phrases it cannot hold, in words.
 */
export async function writeChoice(
  store: LibraryStore,
  what: ToExport,
  choice: ExportChoice,
  tell: { readonly onPhrase: (n: number) => void; readonly signal: AbortSignal },
  others: readonly Thing[] = [],
) {
  const { format } = choice;
  const row = formatRow(format);
  await Promise.all([WRITERS.get(format)?.get(), packing.get()]);
  // Drawing it for each of many phrases would take longer than they do.
  let told = 0;
  const onPhrase = (n: number) => {
    if (performance.now() - told < TELL) return;
    told = performance.now();
    tell.onPhrase(n);
  };
  const progress = { onPhrase, signal: tell.signal };
  const library = what.ids.length > 1 && row.several === 'library';
  if (library && what.phrases === null) return storedLibrary(store, what.ids, progress, others);
  const phrases = what.phrases ?? (await phrasesOf(store, what.ids));
  progress.signal.throwIfAborted();
  const apart = row.asks.includes('rounds') ? await partsOf(what, phrases, choice) : null;
  const each = choice.each && row.several === 'text' && phrases.length > 1;
  const file = library
    ? await publishLibrary(phrases, blobParts(), progress, others)
    : apart !== null && choice.apart
      ? await publishApart(
          apart.takes,
          phrases.length === 1 ? fileStem(phrases[0]!.meta.title) : (what.inOrder ?? 'phrases'),
          format,
          { ...choice, rounds: { kind: 'same' } },
          BROWSER_TOOLS,
          progress,
        )
      : each
        ? await publishApart(
            namedIn(what, phrases),
            what.inOrder ?? 'phrases',
            format,
            choice,
            BROWSER_TOOLS,
            progress,
          )
        : await publish(phrases, format, choice, BROWSER_TOOLS, progress, what.inOrder);
  const left = await leftOut(phrases, format, tell.signal);
  return { file, left: [...left, ...(apart?.left ?? [])] };
}

/** What the library has checked is written as it lies there, however much it is. */
async function storedLibrary(
  store: LibraryStore,
  ids: readonly string[],
  progress: Progress,
  others: readonly Thing[],
) {
  const beside = [others.map(({ value }) => JSON.stringify(value))];
  const file = await publishTexts(store.texts(ids), blobParts(), progress, beside);
  const missing = ids.length - file.phrases;
  return { file, left: missing > 0 ? [missingWords(missing)] : [] };
}

/** Of what was to be written, and could not be read. */
export function missingWords(missing: number, one = 'phrase', many?: string): string {
  return `${count(missing, one, many)} that could not be read`;
}

/** Something is wrong with the keys that were typed; the message says what. */
class WrongKeys extends Error {
  override readonly name = 'WrongKeys';
}

/** What the file of each phrase is called: by its title, numbered where they have an order. */
function namedIn({ inOrder }: ToExport, phrases: readonly Phrase[]): readonly Named[] {
  const titles = phrases.map((p) => fileStem(p.meta.title));
  const stems = inOrder === undefined ? titles : numberedStems(titles);
  return phrases.map((phrase, i) => ({ stem: stems[i]!, phrase }));
}

/** Every phrase in every key of the rounds; null where there are none. @throws WrongKeys */
async function partsOf(what: ToExport, phrases: readonly Phrase[], choice: ExportChoice) {
  if (choice.rounds.kind === 'same') return null;
  const { takenApart } = await rounds.get();
  const takes: Named[] = [];
  const left: string[] = [];
  for (const { stem, phrase } of namedIn(what, phrases)) {
    const apart = takenApart(phrase, choice.rounds);
    if (!apart.ok) throw new WrongKeys(`${apart.problems.map(formatProblem).join('. ')}.`);
    for (const t of apart.value.takes) takes.push({ stem: `${stem}-${t.name}`, phrase: t.phrase });
    left.push(...apart.value.left);
  }
  return { takes, left };
}

/** Why nothing was written, in words. */
export function exportTrouble(reason: unknown): string {
  if (reason instanceof NotThere || reason instanceof WrongKeys) return reason.message;
  const message = reason instanceof Error ? reason.message : String(reason);
  return `The program says: ${message}. Try again, or choose another format.`;
}
