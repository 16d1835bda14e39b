import type { Phrase } from '../../core/phrase/types';
import { decodePhrase, PHRASE_MIGRATIONS } from '../json/decode';
import type { AnyKind, Kind } from './kind';

/** Improvisation phrases. */
export const PHRASES: Kind<Phrase> = {
  name: 'phrase',
  versions: PHRASE_MIGRATIONS,
  decode: decodePhrase,
  identityOf: ({ id, parent, meta: { title, created, modified } }) => {
    return { id, parent, title, created, modified };
  },
  withIdentity: (phrase, { id, parent, title, created, modified }) => {
    return { ...phrase, id, parent, meta: { ...phrase.meta, title, created, modified } };
  },
};

/**
 * Everything that a library can hold. A new kind is a row here and a step in `storage/schema.ts`,
 * which keeps older windows from opening what they do not know; it is then kept, copied, migrated,
 * written to library files and read from them like all others.
 */
export const KINDS: readonly AnyKind[] = [PHRASES];
