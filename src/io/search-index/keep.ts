import { Catalogue, type Entry } from '../../core/search/catalogue/catalogue';
import type { Numbers } from '../../core/search/catalogue/column';
import { SHEET_VERSION } from '../../core/search/catalogue/sheet';
import type { ChordSymbol } from '../../core/theory/chord-model';
import type { Key } from '../../core/theory/key';

/**
 * An index as bytes, so that a large library need not be read anew at every start: a line of JSON
 * with what follows and how long it is, the columns as they are in memory, and the rest as JSON. A
 * checksum before all tells damage; what is damaged, or of another version, is built anew.
 */
const MAGIC = 'degreewise-index';
/** Changes with the layout of the bytes. */
const LAYOUT = 1;

/** Bytes of the checksum and of the length of the first JSON. */
const HEAD = 8;

interface Head {
  readonly magic: string;
  readonly layout: number;
  readonly sheets: number;
  /** So many numbers of each column, in their order. */
  readonly columns: readonly (readonly [name: string, length: number])[];
}

interface Rest {
  readonly entries: readonly (Entry | null)[];
  readonly keys: readonly Key[];
  readonly meters: readonly string[];
  readonly chords: readonly (readonly [ChordSymbol, Key])[];
  readonly words: readonly string[];
  /** By id. */
  readonly stamps: Readonly<Record<string, string>>;
}

/** @param stamps What tells the states of each phrase apart, by id. */
export function keepCatalogue(
  c: Catalogue,
  stamps: ReadonlyMap<string, string>,
): Uint8Array<ArrayBuffer> {
  const { words, lists, counts } = c.words.kept();
  const columns: [string, Numbers][] = Object.entries(c.columns()).map(([name, column]) => [
    name,
    column.values.subarray(0, column.length),
  ]);
  columns.push(['wordCounts', counts], ['wordLists', lists], ['alive', c.alive.words]);
  // An index that was never asked has none, nor has one of an older program.
  const titles = c.titleOrder;
  if (titles !== null) columns.push(['titleOrder', Uint32Array.from(titles)]);
  const head: Head = {
    magic: MAGIC,
    layout: LAYOUT,
    sheets: SHEET_VERSION,
    columns: columns.map(([name, values]) => [name, values.length]),
  };
  const rest: Rest = {
    entries: c.entries,
    keys: c.keyNames,
    meters: c.meterNames,
    chords: c.chords.kept(),
    words,
    stamps: Object.fromEntries(stamps),
  };
  const pieces = [
    encode(JSON.stringify(head)),
    ...columns.map(([, v]) => new Uint8Array(v.buffer, v.byteOffset, v.byteLength)),
    encode(JSON.stringify(rest)),
  ];
  const length = pieces.reduce((sum, p) => sum + aligned(p.length), HEAD);
  const out = new Uint8Array(length);
  let at = HEAD;
  for (const p of pieces) {
    out.set(p, at);
    at += aligned(p.length);
  }
  const numbers = new Uint32Array(out.buffer);
  numbers[1] = pieces[0]!.length;
  numbers[0] = checksum(numbers.subarray(1));
  return out;
}

/** An index as it was kept. */
export interface KeptCatalogue {
  readonly catalogue: Catalogue;
  readonly stamps: ReadonlyMap<string, string>;
  /** False for one of an older program, of which a part was read off notes and texts: it is worth being kept anew. */
  readonly whole: boolean;
}

/** @returns null for what is damaged, cut short or of another version. */
export function readCatalogue(bytes: Uint8Array): KeptCatalogue | null {
  if (bytes.length < HEAD || bytes.length % 4 !== 0) return null;
  // Columns are read in place, so that they must begin where a number may.
  const even = bytes.byteOffset % 4 === 0 ? bytes : bytes.slice();
  const numbers = new Uint32Array(even.buffer, even.byteOffset, even.length / 4);
  if (numbers[0] !== checksum(numbers.subarray(1))) return null;
  const headEnd = HEAD + numbers[1]!;
  if (headEnd > even.length) return null;
  const head = JSON.parse(decode(even.subarray(HEAD, headEnd))) as Head;
  if (head.magic !== MAGIC || head.layout !== LAYOUT || head.sheets !== SHEET_VERSION) return null;
  const catalogue = new Catalogue();
  const columns = catalogue.columns();
  let at = HEAD + aligned(numbers[1]!);
  const extra = new Map<string, Uint32Array>();
  for (const [name, length] of head.columns) {
    const column = columns[name];
    const make = column === undefined ? Uint32Array : kindOf(column.values);
    // With room to grow: else the first phrase that comes would have every column copied.
    const values = new make(column === undefined ? length : length + (length >>> 3));
    const size = length * values.BYTES_PER_ELEMENT;
    new Uint8Array(values.buffer).set(even.subarray(at, at + size));
    at += aligned(size);
    if (column === undefined) extra.set(name, values as Uint32Array);
    else column.take(values, length);
  }
  const rest = JSON.parse(decode(even.subarray(at)).replace(/\0+$/u, '')) as Rest;
  for (const [symbol, key] of rest.chords) catalogue.chords.numberOf(symbol, key);
  const { leaps, said } = catalogue;
  const whole = rest.entries.length === 0 || (leaps.column.length > 0 && said.ends.length > 0);
  catalogue.words.take(rest.words, extra.get('wordCounts')!, extra.get('wordLists')!);
  catalogue.take(rest.entries, rest.keys, rest.meters, extra.get('alive')!);
  const titles = extra.get('titleOrder');
  if (titles !== undefined) catalogue.takeTitleOrder(titles);
  return { catalogue, stamps: new Map(Object.entries(rest.stamps)), whole };
}

function kindOf(values: Numbers): new (length: number) => Numbers {
  return values.constructor as new (
    length: number,
  ) => Numbers;
}

function aligned(length: number): number {
  return (length + 3) & ~3;
}

/** FNV-1a over whole numbers (G. Fowler, L. Noll and K.-P. Vo). */
function checksum(numbers: Uint32Array): number {
  let h = 0x811c_9dc5;
  for (let i = 0; i < numbers.length; i++) h = Math.imul(h ^ numbers[i]!, 0x0100_0193);
  return h >>> 0;
}

function encode(text: string): Uint8Array {
  return new TextEncoder().encode(text);
}

function decode(bytes: Uint8Array): string {
  return new TextDecoder().decode(bytes);
}
