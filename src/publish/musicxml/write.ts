import type { Phrase } from '../../core/phrase/types';
import { writeMxl } from '../../io/musicxml/package/mxl';
import { writeMusicXml } from '../../io/musicxml/write/write-musicxml';
import type { Look, Writer } from '../format';

export const write: Writer = (phrase, look) => textOf(phrase, look);

export const writePacked: Writer = (phrase, look) => new Uint8Array(writeMxl(textOf(phrase, look)));

/** The day the phrase was last changed stands for the day of encoding, so that equal phrases give equal files. */
function textOf(phrase: Phrase, { staves, degrees, beneath }: Look): string {
  const part = beneath?.(phrase) ?? null;
  return writeMusicXml(phrase, {
    encodingDate: phrase.meta.modified.slice(0, 10),
    staves,
    ...(degrees === 'off' ? {} : { degrees }),
    ...(part === null ? {} : { beneath: part }),
  });
}
