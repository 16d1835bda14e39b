import { existsSync, readdirSync, readFileSync, statSync } from 'node:fs';
import path from 'node:path';
import { checkPhrase } from '../../src/core/validity/check-phrase';
import { decodeFile } from '../../src/io/file/decode-file';
import { decodePhrase, encodePhrase } from '../../src/io/json';
import { writeMidi } from '../../src/io/midi-out/write';
import { writeMxl } from '../../src/io/musicxml/package/mxl';
import { writeMusicXml } from '../../src/io/musicxml/write/write-musicxml';
import { QUICK_SIGNS } from '../../src/io/quick/signs';
import { writeQuick } from '../../src/io/quick/write';
import { writeTextTab } from '../../src/io/text-tab/write/write-text-tab';
import { refPath } from './refs';
import { readSamples } from './samples';

/** The six readers, each by the ending of its files. */
export const READERS = ['json', 'musicxml', 'mxl', 'quick', 'txt', 'mid'] as const;
export type Reader = (typeof READERS)[number];

/** One input that is read: which reader, and bytes made from files that were changed at random. */
export interface FuzzCase {
  readonly reader: Reader;
  readonly bytes: Uint8Array;
}

const TABS = [
  'e|-----5-8-----|\nB|-5-8-----8-5-|\nG|-------------|\nD|-------------|\nA|-------------|\nE|-------------|\n',
  'A7\n        P.M.---|\ne|-----------|-----(3)----|\nB|-5h8p5-----|-7b9r7~-----|\nG|-------7/9-|------------|\nD|-<12>--x---|--3-5-7-----|\nA|-----------|------------|\nE|-g3/5--0---|----------3-|\n',
  'G|--2-4-5-|\nD|--------|\nA|-5------|\nE|--------|\n',
];

/** What stands in files of each kind and may turn up anywhere in one. */
const WORDS: Readonly<Record<Reader, readonly string[]>> = {
  json: [
    'null',
    '-1',
    '1e308',
    '0.5',
    '[]',
    '{}',
    '""',
    '"\\u0000"',
    'true',
    '99999999999999999999',
  ],
  musicxml: [
    '<rest/>',
    '<chord/>',
    '<grace/>',
    '<kind/>',
    '<duration>0</duration>',
    '<divisions>0</divisions>',
    '<beats>0</beats>',
    '<beats>999999</beats>',
    '<backup><duration>99999999</duration></backup>',
    '<forward><duration>999999999999</duration></forward>',
    '<measure>',
    '</measure>',
    '<tie type="start"/>',
    '<octave>99</octave>',
    '<alter>-9</alter>',
    '&amp;',
    '<!-- -->',
  ],
  mxl: ['PK\u0001\u0002', 'META-INF/container.xml', '\u0000\u0000'],
  quick: [
    ...QUICK_SIGNS.map((s) => s.example),
    '0/4',
    "'999999999",
    '2nd:',
    '|',
    ':|',
    '3(',
    ')',
    '[',
    ']',
  ],
  // Running status, a meter of nothing, a tempo of nothing, an endless number, a note that never ends.
  mid: [
    '\u00ff\u0058\u0004\u0000\u00ff\u0018\u0008',
    '\u00ff\u0051\u0003\u0000\u0000\u0000',
    '\u00ff\u00ff\u00ff\u007f',
    '\u0000\u0090\u0040\u0040',
    '\u00e0\u0000\u0000',
    'MTrk',
  ],
  txt: ['-', '|', '12', '(', '<12>', 'b', 'r', '~', '/', 'x', 'h', 'capo 9', '\n\n', '24'],
};

const NUMBERS = ['0', '-1', '1', '7', '64', '127', '9999', '999999999', '1e9', '0.333', ''];

/** Numbers from 0 up to 1, the same for the same seed (mulberry32, public domain). */
export function randomFrom(seed: number): () => number {
  let a = seed >>> 0;
  return () => {
    a = (a + 0x6d2b79f5) >>> 0;
    let t = Math.imul(a ^ (a >>> 15), a | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296;
  };
}

let known: Readonly<Record<Reader, readonly Uint8Array[]>> | null = null;

/** Longest file that is changed, in bytes: many cases of short ones find more than few of long ones. */
const LONGEST: Readonly<Record<Reader, number>> = {
  json: 8_000,
  musicxml: 6_000,
  mxl: 3_000,
  quick: 4_000,
  txt: 2_000,
  mid: 2_500,
};

/** So many files of a kind are changed at least. */
const LEAST_FILES = 12;

let strangers: string | null = null;

/** From now on files of this folder, written by others, are changed too. */
export function changeFilesOf(folder: string): void {
  strangers = folder;
  known = null;
}

/** The files of others that this reader reads, those of a folder named with {@link changeFilesOf}. */
function foreign(reader: Reader): readonly Uint8Array[] {
  if (strangers === null) return [];
  const folder = strangers;
  const mine = {
    json: /\.json$/u,
    musicxml: /xml$/u,
    mxl: /\.mxl$/u,
    quick: /\.quick$/u,
    txt: /\.(?:txt|tab)$/u,
    mid: /\.midi?$/u,
  }[reader];
  return readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter((name) => mine.test(name))
    .sort()
    .map((name) => path.join(folder, name))
    .filter((name) => statSync(name).isFile() && statSync(name).size <= LONGEST[reader])
    .map((name) => new Uint8Array(readFileSync(name)));
}

/** Our own files of every kind, and those of the public importer test suite where it is present. */
function corpus(): Readonly<Record<Reader, readonly Uint8Array[]>> {
  if (known !== null) return known;
  const utf8 = new TextEncoder();
  const samples = readSamples();
  const folder = refPath('musicxml-testsuite/xmlFiles');
  const suite =
    folder === null || !existsSync(folder)
      ? []
      : readdirSync(folder)
          .sort()
          .map((name) => ({ name, bytes: new Uint8Array(readFileSync(path.join(folder, name))) }));
  const short = (reader: Reader, own: readonly Uint8Array[]) => {
    const list = [...own, ...foreign(reader)].sort((a, b) => a.length - b.length);
    // Our own scores are longer: where there are no others the shortest of them are changed.
    return list.filter((b, i) => i < LEAST_FILES || b.length <= LONGEST[reader]);
  };
  known = {
    json: short(
      'json',
      samples.map((s) => utf8.encode(s.text)),
    ),
    musicxml: short('musicxml', [
      ...samples.map((s) => utf8.encode(writeMusicXml(s.phrase))),
      ...suite.filter((f) => /xml$/u.test(f.name)).map((f) => f.bytes),
    ]),
    mxl: short('mxl', [
      ...samples.map((s) => writeMxl(writeMusicXml(s.phrase))),
      ...suite.filter((f) => f.name.endsWith('.mxl')).map((f) => f.bytes),
    ]),
    quick: short('quick', [
      ...samples.map((s) => utf8.encode(writeQuick(s.phrase).text)),
      ...QUICK_SIGNS.map((s) => utf8.encode(s.example)),
    ]),
    mid: short('mid', [
      ...samples.map((s, i) => writeMidi(s.phrase, { score: i % 2 === 0 })),
      ...samples.slice(0, 6).map((s) => inOneTrack(writeMidi(s.phrase))),
    ]),
    txt: short('txt', [
      ...samples.map((s) => utf8.encode(writeTextTab(s.phrase, { width: 80, degrees: 'chord' }))),
      ...TABS.map((t) => utf8.encode(t)),
    ]),
  };
  return known;
}

/** The case of a number: the same bytes wherever the same files are there. */
export function fuzzCase(number: number): FuzzCase {
  const random = randomFrom(number);
  const reader = READERS[number % READERS.length]!;
  const files = corpus()[reader];
  const pick = <T>(list: readonly T[]): T => list[Math.floor(random() * list.length)]!;
  // Bytes of an archive are nearly always refused; most are changed before they are packed.
  const packed = reader === 'mxl' && random() < 0.7;
  const sources = packed ? corpus().musicxml : files;
  let text = latin1(pick(sources));
  if (reader === 'mid' && random() < 0.8) return { reader, bytes: overwritten(text, random) };
  const changes = 1 + Math.floor(random() ** 3 * 6);
  for (let i = 0; i < changes; i++) {
    const words = WORDS[packed ? 'musicxml' : reader];
    text = changed(text, () => latin1(pick(sources)), words, random);
  }
  const bytes = Uint8Array.from(text, (c) => c.charCodeAt(0) & 0xff);
  return { reader, bytes: packed ? writeMxl(Buffer.from(bytes).toString('utf8')) : bytes };
}

/** Some bytes are others: the lengths of the tracks stay right, so that the reader gets to what is in them. */
function overwritten(text: string, random: () => number): Uint8Array {
  const bytes = Uint8Array.from(text, (c) => c.charCodeAt(0));
  const times = 1 + Math.floor(random() ** 2 * 12);
  for (let i = 0; i < times; i++) {
    const at = 14 + Math.floor(random() * Math.max(1, bytes.length - 14));
    const word = WORDS.mid[Math.floor(random() * WORDS.mid.length)]!;
    if (random() < 0.5) bytes[at] = Math.floor(random() * 256);
    else
      for (let k = 0; k < word.length && at + k < bytes.length; k++)
        bytes[at + k] = word.charCodeAt(k);
  }
  return bytes;
}

/** The name of the string tracks taken away, as of any other file. */
function inOneTrack(bytes: Uint8Array): Uint8Array {
  return Uint8Array.from(latin1(bytes).replaceAll('String ', 'Track_ '), (c) => c.charCodeAt(0));
}

/** Bytes as characters, one each. */
function latin1(bytes: Uint8Array): string {
  return Buffer.from(bytes).toString('latin1');
}

function changed(
  text: string,
  other: () => string,
  words: readonly string[],
  random: () => number,
): string {
  const at = Math.floor(random() * (text.length + 1));
  const span = Math.floor(random() ** 3 * Math.min(2_000, text.length));
  const end = Math.min(text.length, at + span);
  const word = words[Math.floor(random() * words.length)]!;
  switch (Math.floor(random() * 8)) {
    case 0:
      return text.slice(0, at) + text.slice(end);
    case 1:
      return text.slice(0, end) + text.slice(at, end) + text.slice(end);
    case 2:
      return text.slice(0, at) + word + text.slice(at);
    case 3:
    case 4: {
      // The next one: to list all numbers of a long file costs more than to read it.
      const next = /\d+(?:\.\d+)?/gu;
      next.lastIndex = at;
      const m = next.exec(text) ?? undefined;
      const value = NUMBERS[Math.floor(random() * NUMBERS.length)]!;
      return m === undefined
        ? text
        : text.slice(0, m.index) + value + text.slice(m.index + m[0].length);
    }
    case 5: {
      const from = other();
      const start = Math.floor(random() * from.length);
      return text.slice(0, at) + from.slice(start, start + span) + text.slice(end);
    }
    case 6:
      return random() < 0.3 ? text.slice(0, at) : text;
    default: {
      const c = String.fromCharCode(Math.floor(random() * 256));
      return text.slice(0, at) + c + text.slice(at + 1);
    }
  }
}

/**
 * Reads a case. A reader never throws; what it takes is valid, can be stored and comes back equal;
 * what it refuses says why.
 * @returns whether it was taken.
 * @throws Error with what is wrong.
 */
export function readCase({ reader, bytes }: FuzzCase): boolean {
  let ids = 0;
  const options = { newId: () => `new-${++ids}`, now: '2026-11-27T10:00:00Z' };
  const read = decodeFile(`fuzz.${reader}`, bytes, options);
  if (!read.ok) {
    if (read.problems.length === 0) throw new Error('refused without a reason');
    for (const p of read.problems) {
      if (p.message.length > MOST_WORDS)
        throw new Error(`a message of ${p.message.length} letters`);
    }
    return false;
  }
  for (const phrase of read.value.phrases) {
    const wrong = checkPhrase(phrase);
    if (wrong.length > 0) throw new Error(`invalid: ${JSON.stringify(wrong[0])}`);
    const again = decodePhrase(encodePhrase(phrase));
    if (!again.ok) throw new Error(`cannot be stored: ${JSON.stringify(again.problems[0])}`);
  }
  return true;
}

/** Letters in a message; what is quoted in one is cut. */
const MOST_WORDS = 300;
