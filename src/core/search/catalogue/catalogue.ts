import { type Around, NOTHING_AROUND } from '../../library/around';
import type { PhraseFacts } from '../../library/facts';
import { compareFirst, compareIn, LIBRARY_ORDERS, type LibraryOrder } from '../../library/sort';
import { formatKey, type Key } from '../../theory/key';
import { Bits } from './bits';
import { ChordHolders } from './chord-holders';
import { Chords } from './chords';
import { bytes, Column, longs, type Numbers, shorts } from './column';
import { Leaps } from './leaps';
import { Order } from './order';
import { NotePool } from './pool';
import { Said } from './said';
import { NO_DEGREE, type Sheet } from './sheet';
import { signatureOf } from './signature';
import { Words } from './words';

/** Feels by the numbers they have in `summary`. */
export const FEELS: readonly Sheet['feel'][] = ['straight', 'swung', 'shuffle'];

/** What is kept of a phrase as it is; the rest is in columns. */
export type Entry = Omit<Sheet, 'notes'>;

/**
 * The index of a library, from which any query is answered without reading a phrase (`answer.ts`). Phrases come and go one by
 * one; each gets a number, in the order of coming, that is never given again.
 */
export class Catalogue {
  readonly entries: (Entry | null)[] = [];
  /** Of each number, so that many are listed without a look at what lies all over the memory. */
  readonly ids: string[] = [];
  readonly alive = new Bits(new Uint32Array(0));
  readonly pool = new NotePool();
  readonly chords = new Chords();
  readonly words = new Words();
  readonly said = new Said();
  /** First note of each phrase in the pool, and behind the last one the end of the pool. */
  readonly firstNote = longs();
  /** The day of the last change as one number, 20261127. */
  readonly days = longs();
  readonly signatures = longs();
  /** What rows with turns can be, see `leaps.ts`. */
  readonly leaps = new Leaps();
  /** Degrees that occur, 35 bits in two columns. */
  readonly degreesLow = longs();
  readonly degreesHigh = bytes();
  readonly techniques = longs();
  readonly roles = bytes();
  /** Lowest and highest of what all notes of a phrase keep to; 255 and 0 where there is none. */
  readonly lowFret = bytes();
  readonly highFret = bytes();
  readonly lowString = bytes();
  readonly highString = bytes();
  readonly lowMidi = bytes();
  readonly highMidi = bytes();
  /** Numbers of the chords of each phrase, one after the other, and where they begin. */
  readonly chordNumbers = longs();
  readonly firstChord = longs();
  /** The changes of its lane likewise; 0 for N.C. */
  readonly changes = longs();
  readonly firstChange = longs();
  /** Places in `keyNames` and `meterNames`; of the metres the first 32 as bits. */
  readonly keyPlaces = shorts();
  readonly keyNames: Key[] = [];
  readonly meterBits = longs();
  readonly meterNames: string[] = [];
  /**
   * Read off the entries, which lie all over the memory; 0 for no level, a place in `FEELS`. And read off the notes
   * the degrees against the tonic, as `degreesLow` and `degreesHigh`.
   */
  readonly summary = {
    levels: bytes(),
    bars: longs(),
    feels: bytes(),
    keyLow: longs(),
    keyHigh: bytes(),
  };
  /** Likewise; beats in a minute need not be whole. */
  readonly bpms: number[] = [];
  readonly holders = new ChordHolders();
  /** What the library knows of its phrases besides; see `setAround`. */
  around = NOTHING_AROUND;
  private byUse = compareIn('used');
  private readonly keyNumbers = new Map<string, number>();
  private readonly numbers = new Map<string, number>();
  private readonly orders: ReadonlyMap<LibraryOrder, Order>;

  constructor() {
    this.firstNote.push(0);
    this.firstChord.push(0);
    this.firstChange.push(0);
    this.orders = new Map(
      LIBRARY_ORDERS.filter((by) => by !== 'match').map((by) => {
        const facts = (n: number) => this.entries[n]!.facts;
        const fixed = compareIn(by);
        const compare = (): typeof fixed => (by === 'used' ? this.byUse : fixed);
        const sortAll = by === 'title' ? undefined : () => this.sortBy(by);
        return [
          by,
          new Order(
            (a, b) => (a === b ? 0 : compare()(facts(a), facts(b))),
            sortAll ?? ((c) => [...this.numbers.values()].sort(c)),
          ),
        ];
      }),
    );
  }

  /** How many phrases it knows. */
  get size(): number {
    return this.numbers.size;
  }

  /** More than any number given so far. */
  get end(): number {
    return this.entries.length;
  }

  has(id: string): boolean {
    return this.numbers.has(id);
  }

  numberOf(id: string): number | null {
    return this.numbers.get(id) ?? null;
  }

  setAround(around: Around): void {
    this.around = around;
    this.byUse = compareIn('used', around.uses);
    this.orders.get('used')!.forget();
  }

  /** Takes a phrase in; one of the same id is replaced. */
  put(sheet: Sheet): void {
    this.delete(sheet.facts.id);
    const { notes, ...entry } = sheet;
    const number = this.entries.length;
    const { key } = entry.facts;
    const chords = entry.facts.chords.map((c) => this.chords.numberOf(c, key));
    const first = this.pool.length;
    this.pool.add(notes, chords);
    this.firstNote.push(this.pool.length);
    this.days.push(Number(entry.facts.modified.slice(0, 10).replaceAll('-', '')));
    for (const c of chords) this.chordNumbers.push(c);
    this.firstChord.push(this.chordNumbers.length);
    for (const i of entry.changes) this.changes.push(i < 0 ? 0 : chords[i]!);
    this.firstChange.push(this.changes.length);
    this.keyPlaces.push(this.placeOfKey(key));
    this.meterBits.push(entry.meters.reduce((bits, m) => bits | this.bitOfMeter(m), 0));
    for (const word of signatureOf(this.pool, first, this.pool.length)) {
      this.signatures.push(word);
    }
    this.leaps.add(number, this.pool, first, this.pool.length);
    this.addSums(first);
    this.words.add(entry.facts.text, number);
    this.said.add(entry, this.words);
    this.addEntry(entry);
    this.numbers.set(entry.facts.id, number);
    this.makeRoom(number);
    this.alive.add(number);
    for (const order of this.orders.values()) order.add(number);
  }

  delete(id: string): void {
    const number = this.numbers.get(id);
    if (number === undefined) return;
    for (const order of this.orders.values()) order.delete(number);
    this.alive.delete(number);
    this.numbers.delete(id);
    this.entries[number] = null;
  }

  /** Sorts now what the first answer in an order would sort. */
  prepare(): void {
    for (const order of this.orders.values()) void order.numbers;
  }

  /** The numbers of all phrases in an order; how well they fit is told by a question alone (`ranks.ts`). */
  sorted(by: LibraryOrder): readonly number[] {
    return this.orders.get(by === 'match' ? 'title' : by)!.numbers;
  }

  /** The order by title, to be kept; null before anything was sorted. */
  get titleOrder(): readonly number[] | null {
    return this.orders.get('title')!.known;
  }

  /** Takes what `titleOrder` was, so that nothing has to be sorted. */
  takeTitleOrder(numbers: ArrayLike<number>): void {
    this.orders.get('title')!.take(Array.from(numbers));
  }

  factsOf(number: number): Omit<PhraseFacts, 'degrees'> {
    return this.entries[number]!.facts;
  }

  /** Every column by its name, to be kept on a disk. */
  columns(): Readonly<Record<string, Column<Numbers>>> {
    const all: [string, unknown][] = [
      ...Object.entries(this),
      ['leaps', this.leaps.column],
      ['said.words', this.said.words],
      ['said.ends', this.said.ends],
      ...Object.entries(this.pool).map(([name, c]): [string, unknown] => [`pool.${name}`, c]),
    ];
    return Object.fromEntries(
      all.filter((e): e is [string, Column<Numbers>] => e[1] instanceof Column),
    );
  }

  /** Takes what is not in columns, as it was kept. */
  take(
    entries: readonly (Entry | null)[],
    keys: readonly Key[],
    meters: readonly string[],
    alive: Uint32Array,
  ): void {
    for (const [n, entry] of entries.entries()) {
      this.addEntry(entry);
      if (entry !== null) this.numbers.set(entry.facts.id, n);
    }
    // An index that an older program kept has none.
    for (let n = this.leaps.column.length === 0 ? 0 : entries.length; n < entries.length; n++) {
      this.leaps.add(n, this.pool, this.firstNote.values[n]!, this.firstNote.values[n + 1]!);
    }
    for (const entry of this.said.ends.length === 0 ? entries : []) {
      this.said.add(entry, this.words);
    }
    for (const key of keys) this.placeOfKey(key);
    this.meterNames.push(...meters);
    this.alive.words = alive;
  }

  /** All that was put in of a phrase. */
  sheetOf(number: number): Sheet {
    const entry = this.entries[number]!;
    const first = this.firstChord.values[number]!;
    const chords = this.chordNumbers.values.subarray(first, first + entry.facts.chords.length);
    const [from, to] = [this.firstNote.values[number]!, this.firstNote.values[number + 1]!];
    return { ...entry, notes: this.pool.notesIn(from, to, chords) };
  }

  /** Titles are dear to compare, so that they are compared once for all orders. */
  private sortBy(by: LibraryOrder): number[] {
    const titles = this.sorted('title');
    const compare = compareFirst(by, this.around.uses);
    // Sorting keeps the order of equals.
    return [...titles].sort((a, b) => compare(this.entries[a]!.facts, this.entries[b]!.facts));
  }

  private addEntry(entry: Entry | null): void {
    this.entries.push(entry);
    this.ids.push(entry?.facts.id ?? '');
    this.bpms.push(entry?.bpm ?? 0);
    this.summary.levels.push(entry?.facts.level ?? 0);
    this.summary.bars.push(entry?.facts.bars ?? 0);
    this.summary.feels.push(entry === null ? 0 : FEELS.indexOf(entry.feel));
    const n = this.entries.length - 1;
    const { keyStart, keyHeard } = this.pool;
    const [from, to] = [this.firstNote.values[n]!, this.firstNote.values[n + 1]!];
    const [low, high] = degreeBits(keyStart.values, keyHeard.values, from, to);
    this.summary.keyLow.push(low);
    this.summary.keyHigh.push(high);
  }

  private placeOfKey(key: Key): number {
    const name = formatKey(key);
    const known = this.keyNumbers.get(name);
    if (known !== undefined) return known;
    this.keyNames.push(key);
    this.keyNumbers.set(name, this.keyNames.length - 1);
    return this.keyNames.length - 1;
  }

  private bitOfMeter(meter: string): number {
    let at = this.meterNames.indexOf(meter);
    if (at < 0) at = this.meterNames.push(meter) - 1;
    return 1 << (at % 32);
  }

  private makeRoom(number: number): void {
    const { alive } = this;
    if (number >>> 5 < alive.words.length) return;
    const wider = new Uint32Array(Math.max(16, alive.words.length * 2));
    wider.set(alive.words);
    alive.words = wider;
  }

  private addSums(first: number): void {
    const { pool } = this;
    const [low, high] = degreeBits(pool.start.values, pool.heard.values, first, pool.length);
    let [techniques, roles] = [0, 0];
    const range = { fret: [255, 0], string: [255, 0], midi: [255, 0] };
    const widen = (r: number[], n: number) => {
      r[0] = Math.min(r[0]!, n);
      r[1] = Math.max(r[1]!, n);
    };
    for (let i = first; i < pool.length; i++) {
      techniques |= pool.techniques.values[i]!;
      roles |= (1 << pool.role.values[i]!) >>> 1;
      widen(range.string, pool.string.values[i]!);
      if (pool.fret.values[i]! > 0) widen(range.fret, pool.fret.values[i]!);
      if (pool.midi.values[i]! > 0) widen(range.midi, pool.midi.values[i]!);
    }
    this.degreesLow.push(low);
    this.degreesHigh.push(high);
    this.techniques.push(techniques);
    this.roles.push(roles);
    this.lowFret.push(range.fret[0]!);
    this.highFret.push(range.fret[1]!);
    this.lowString.push(range.string[0]!);
    this.highString.push(range.string[1]!);
    this.lowMidi.push(range.midi[0]!);
    this.highMidi.push(range.midi[1]!);
  }
}

/** The degrees that occur from one note up to another as bits, the first 32 and the rest. */
function degreeBits(
  starts: Uint8Array,
  heards: Uint8Array,
  from: number,
  to: number,
): [low: number, high: number] {
  let [low, high] = [0, 0];
  for (let i = from; i < to; i++) {
    const [a, b] = [starts[i]!, heards[i]!];
    if (a < 32) low |= 1 << a;
    else if (a < NO_DEGREE) high |= 1 << (a - 32);
    if (b < 32) low |= 1 << b;
    else if (b < NO_DEGREE) high |= 1 << (b - 32);
  }
  return [low, high];
}
