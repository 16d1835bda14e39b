import { PHRASE_VERSION, type Phrase } from '../../../core/phrase/types';
import type { PhraseExtras } from '../misc';
import { attribute, child, childrenOf, type XmlElement } from '../xml/parse';
import type { ImportLog } from './log';
import { plainText } from './text';

/** What stands above the music. */
export type Header = Pick<Phrase, 'format' | 'version' | 'id' | 'parent' | 'meta'>;

export interface HeaderOptions {
  readonly newId: () => string;
  readonly now: string;
  readonly title?: string;
}

/** Reads title and source; identity, times and tags come from our own field or are made. */
export function readHeader(
  score: XmlElement,
  extras: PhraseExtras | null,
  options: HeaderOptions,
  log: ImportLog,
): Header {
  const identification = child(score, 'identification');
  if (identification !== undefined && extras === null) logCredits(identification, log);
  const source = textOf(identification, 'source', 1000);
  const usable =
    extras !== null && /^[!-~]{1,200}$/u.test(extras.id) && extras.parent !== extras.id;
  const times = extras !== null && isTime(extras.created) && isTime(extras.modified);
  const tags = [...new Set((extras?.tags ?? []).map((t) => plainText(t, 100)))];
  const styleOf = plainText(extras?.styleOf ?? '', 1000);
  const notes = cleanLines(extras?.notes ?? '');
  return {
    format: 'degreewise-phrase',
    version: PHRASE_VERSION,
    id: usable ? extras.id : options.newId(),
    parent:
      usable && extras.parent !== null && /^[!-~]{1,200}$/u.test(extras.parent)
        ? extras.parent
        : null,
    meta: {
      title: readTitle(score) ?? (extras === null ? (options.title ?? '') : ''),
      ...(styleOf === '' ? {} : { styleOf }),
      ...(source === '' ? {} : { source }),
      tags: tags.filter((t) => t !== '').slice(0, 100),
      ...(extras?.level === undefined ? {} : { level: extras.level }),
      ...(notes === '' ? {} : { notes }),
      created: times ? extras.created : options.now,
      modified: times ? extras.modified : options.now,
    },
  };
}

function readTitle(score: XmlElement): string | null {
  const movement = textOf(score, 'movement-title');
  const title = movement === '' ? textOf(child(score, 'work'), 'work-title') : movement;
  return title === '' ? null : title;
}

function textOf(parent: XmlElement | undefined, name: string, most?: number): string {
  const e = parent === undefined ? undefined : child(parent, name);
  return e === undefined ? '' : plainText(e.text, most);
}

function isTime(text: string): boolean {
  if (!/^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}(\.\d{1,9})?Z$/u.test(text)) return false;
  const at = Date.parse(text);
  return !Number.isNaN(at) && new Date(at).toISOString().slice(0, 19) === text.slice(0, 19);
}

/** Text of several lines without other control characters. */
function cleanLines(text: string): string {
  return text
    .replace(/\r\n?/gu, '\n')
    .replace(/[^\P{Cc}\n\t]/gu, '')
    .slice(0, 20_000);
}

function logCredits(identification: XmlElement, log: ImportLog): void {
  for (const c of childrenOf(identification, 'creator')) {
    const type = plainText(attribute(c, 'type') ?? 'author', 40);
    const name = plainText(c.text, 80);
    if (name !== '') log.add('dropped', `the ${type} '${name}' is not kept`, { line: c.line });
  }
  for (const r of childrenOf(identification, 'rights')) {
    const text = plainText(r.text, 80);
    if (text !== '')
      log.add('dropped', `the notice of rights '${text}' is not kept`, { line: r.line });
  }
}
