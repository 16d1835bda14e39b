import type { Phrase } from '../../../core/phrase/types';
import { encodeLibrary, encodePhrase } from '../../../io/json';
import type { DegreeView } from '../../score/degree-labels';
import type { OutFile } from '../../shared/save-file';
import { fileStem, uniqueNames } from './file-names';

export const EXPORT_FORMATS = ['json', 'musicxml', 'mxl', 'txt', 'quick', 'svg', 'png'] as const;
export type ExportFormat = (typeof EXPORT_FORMATS)[number];

export interface ExportChoice {
  readonly format: ExportFormat;
  readonly staves: 'both' | 'staff' | 'tab';
  readonly degrees: DegreeView;
  /** In pictures: what the signs mean, under the music. */
  readonly legend: boolean;
}

/** How far an export has come; it can be stopped between two phrases. */
export interface ExportProgress {
  readonly onPhrase: (done: number) => void;
  readonly signal: AbortSignal;
}

const TYPES: Readonly<Record<ExportFormat | 'zip', string>> = {
  json: 'application/json',
  musicxml: 'application/vnd.recordare.musicxml+xml',
  mxl: 'application/vnd.recordare.musicxml',
  txt: 'text/plain;charset=utf-8',
  quick: 'text/plain;charset=utf-8',
  svg: 'image/svg+xml',
  png: 'image/png',
  zip: 'application/zip',
};

/** Characters in a line of a text tab. */
const TEXT_WIDTH = 80;

/**
 * Writes phrases to one file: a phrase of its own, several as a library (JSON), one text, or a zip
 * archive of one file each.
 * @throws DOMException `AbortError` when it is stopped.
 */
export async function exportPhrases(
  phrases: readonly Phrase[],
  choice: ExportChoice,
  progress: ExportProgress,
): Promise<OutFile> {
  const { format } = choice;
  const [only] = phrases;
  if (only === undefined) throw new RangeError('there is nothing to export');
  const single = phrases.length === 1;
  const stem = single ? fileStem(only.meta.title) : 'phrases';
  const whole = (content: OutFile['content'], ending: ExportFormat | 'zip' = format): OutFile => ({
    name: `${stem}.${ending}`,
    type: TYPES[ending],
    content,
  });
  if (format === 'json') return whole(single ? encodePhrase(only) : libraryText(phrases));
  const written: OutFile['content'][] = [];
  for (const [done, phrase] of phrases.entries()) {
    progress.onPhrase(done);
    await new Promise((resolve) => setTimeout(resolve));
    progress.signal.throwIfAborted();
    written.push(await writeOne(phrase, choice));
  }
  if (single) return whole(written[0]!);
  if (format === 'txt') return whole(written.join('\n\n'));
  const names = uniqueNames(
    phrases.map((p) => fileStem(p.meta.title)),
    format,
  );
  return whole(await zip(names, written), 'zip');
}

function libraryText(phrases: readonly Phrase[]): string {
  return encodeLibrary({ format: 'degreewise-library', version: 1, phrases });
}

/** What of phrases a format does not keep, in words; each once. */
export async function leftOut(
  phrases: readonly Phrase[],
  format: ExportFormat,
): Promise<readonly string[]> {
  if (format !== 'quick') return [];
  const { writeQuick } = await import('../../../io/quick/write');
  return [...new Set(phrases.flatMap((p) => writeQuick(p).left))];
}

/** The writers are fetched when they are needed. */
async function writeOne(phrase: Phrase, choice: ExportChoice): Promise<OutFile['content']> {
  switch (choice.format) {
    case 'json':
      return encodePhrase(phrase);
    case 'txt': {
      const { writeTextTab } = await import('../../../io/text-tab/write/write-text-tab');
      return writeTextTab(phrase, { width: TEXT_WIDTH, degrees: choice.degrees });
    }
    case 'quick': {
      const { writeQuick } = await import('../../../io/quick/write');
      return `${writeQuick(phrase).text}\n`;
    }
    case 'musicxml':
      return musicXml(phrase, choice);
    case 'mxl': {
      const { writeMxl } = await import('../../../io/musicxml/package/mxl');
      return new Uint8Array(writeMxl(await musicXml(phrase, choice)));
    }
    case 'svg': {
      const { scoreSvg } = await import('./score-image');
      return (await scoreSvg(phrase, choice)).svg;
    }
    case 'png': {
      const { scorePng } = await import('./score-image');
      return new Uint8Array(await scorePng(phrase, choice));
    }
  }
}

async function musicXml(phrase: Phrase, choice: ExportChoice): Promise<string> {
  const { writeMusicXml } = await import('../../../io/musicxml/write/write-musicxml');
  const { staves, degrees } = choice;
  return writeMusicXml(phrase, { staves, ...(degrees === 'off' ? {} : { degrees }) });
}

async function zip(
  names: readonly string[],
  contents: readonly OutFile['content'][],
): Promise<Uint8Array<ArrayBuffer>> {
  const { strToU8, zipSync } = await import('fflate');
  const entries = names.map((name, i) => {
    const content = contents[i]!;
    return [name, typeof content === 'string' ? strToU8(content) : content] as const;
  });
  return new Uint8Array(zipSync(Object.fromEntries(entries)));
}
