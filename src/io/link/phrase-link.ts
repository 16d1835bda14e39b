import { deflateSync, Inflate } from 'fflate';
import type { Phrase } from '../../core/phrase/types';
import { fail, type Problem, type Result } from '../../core/result';
import { decodePhrase } from '../json/decode';
import { encodeCompact } from '../json/encode';
import { DICTIONARY_A } from './dictionary';

/*
 * A phrase as a text that a link can carry: a letter for the version, then in base64url (RFC 4648) four
 * bytes of a checksum and the phrase's JSON, packed by DEFLATE (RFC 1951) with a dictionary.
 */

/** The version that is written; every version is read. */
const VERSION = 'a';

/** Most characters of a text that is read; the longest phrases are no matter for a link. */
export const MOST_CHARACTERS = 200_000;
/** Most bytes that are unpacked. */
const MOST_BYTES = 4 * 1024 * 1024;
const CHECKSUM_BYTES = 4;

/** @throws when the phrase breaks the structure of the stored form (programmer's error). */
export function encodeLink(phrase: Phrase): string {
  const json = new TextEncoder().encode(encodeCompact(phrase));
  const packed = deflateSync(json, { level: 9, mem: 8, dictionary: dictionary() });
  const bytes = new Uint8Array(CHECKSUM_BYTES + packed.length);
  new DataView(bytes.buffer).setUint32(0, checksum(json));
  bytes.set(packed, CHECKSUM_BYTES);
  return VERSION + toBase64Url(bytes);
}

/** A phrase from what a link carries, checked like any other. Never throws. */
export function decodeLink(text: string): Result<Phrase> {
  if (text.length > MOST_CHARACTERS) return fail(TOO_LONG);
  if (!text.startsWith(VERSION)) {
    return fail(/^[b-z][\w-]*$/u.test(text) ? TOO_NEW : DAMAGED);
  }
  const bytes = fromBase64Url(text.slice(VERSION.length));
  if (bytes === null || bytes.length <= CHECKSUM_BYTES) return fail(DAMAGED);
  const json = unpack(bytes.subarray(CHECKSUM_BYTES));
  if (json === null) return fail(DAMAGED);
  const expected = new DataView(bytes.buffer, bytes.byteOffset).getUint32(0);
  if (checksum(json) !== expected) return fail(DAMAGED);
  return decodePhrase(new TextDecoder().decode(json));
}

const DAMAGED: Problem = {
  message: 'the link was cut off or damaged on its way',
  fix: 'Ask for it again, and copy all of it: mail programs sometimes break long links.',
};

const TOO_LONG: Problem = {
  message: `the link has more than ${MOST_CHARACTERS} characters`,
  fix: 'Ask for the phrase as a file.',
};

const TOO_NEW: Problem = {
  message: 'the link was made by a newer release of the program',
  fix: 'Load this page again to get the newest, or ask for the phrase as a file.',
};

let known: Uint8Array | null = null;

function dictionary(): Uint8Array {
  known ??= new TextEncoder().encode(DICTIONARY_A);
  return known;
}

/** Null for what is no packed data, not all of it, or unpacks to more than a phrase can be. */
function unpack(packed: Uint8Array): Uint8Array | null {
  const parts: Uint8Array[] = [];
  let size = 0;
  let ended = false;
  const inflate = new Inflate({ dictionary: dictionary() }, (part, last) => {
    size += part.length;
    if (size > MOST_BYTES) throw new RangeError('more than a phrase');
    parts.push(part);
    ended = last;
  });
  try {
    // In pieces, so that what is never to be unpacked is found out early.
    for (let at = 0; at < packed.length; at += 1024) {
      inflate.push(packed.subarray(at, at + 1024), at + 1024 >= packed.length);
    }
  } catch {
    return null;
  }
  if (!ended) return null;
  const all = new Uint8Array(size);
  let at = 0;
  for (const part of parts) {
    all.set(part, at);
    at += part.length;
  }
  return all;
}

/** FNV-1a of 32 bits (G. Fowler, L. Noll and K.-P. Vo): against damage, not against malice. */
function checksum(bytes: Uint8Array): number {
  let hash = 0x811c_9dc5;
  for (const byte of bytes) hash = Math.imul(hash ^ byte, 0x0100_0193);
  return hash >>> 0;
}

function toBase64Url(bytes: Uint8Array): string {
  let text = '';
  for (const byte of bytes) text += String.fromCharCode(byte);
  return btoa(text).replaceAll('+', '-').replaceAll('/', '_').replace(/=+$/u, '');
}

/** Null for a text that is not in base64url. */
function fromBase64Url(text: string): Uint8Array | null {
  if (!/^[\w-]*$/u.test(text) || text.length % 4 === 1) return null;
  const plain = atob(text.replaceAll('-', '+').replaceAll('_', '/'));
  return Uint8Array.from(plain, (c) => c.charCodeAt(0));
}
