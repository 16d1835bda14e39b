/**
 * Many lists of ascending numbers that grow, in one array, so that a list is read in few places of
 * the memory: each lies in blocks, the next twice as long as the one before, up to 256 words, of
 * which the first says where the block before begins.
 */
export class Lists {
  /** Two words a list, side by side since they are read together: how many it holds, and its last block. */
  private readonly table: Uint32Array;
  /** The first word is none, so that 0 is no block. */
  private values = new Uint32Array(1 << 12);
  private length = 1;

  constructor(many: number) {
    this.table = new Uint32Array(2 * many);
  }

  /** How many numbers a list holds. */
  count(list: number): number {
    return this.table[2 * list]!;
  }

  /** @param number Not less than the last one; what is last already is not put twice. */
  push(list: number, number: number): void {
    const { table } = this;
    const count = table[2 * list]!;
    const inBlock = count - firstOf(count);
    let head = table[2 * list + 1]!;
    if (count > 0) {
      // At the end of a block the last number lies in it still, since the next is not begun.
      const last = inBlock === 0 ? roomBefore(count) : inBlock;
      if (this.values[head + last] === number) return;
    }
    if (inBlock === 0) {
      head = this.begin(head, roomFrom(count));
      table[2 * list + 1] = head;
    }
    this.values[head + 1 + inBlock] = number;
    table[2 * list] = count + 1;
  }

  /**
   * Adds a weight to the score of each number of a list, the last number first.
   * @param touched Takes the numbers of which the score was 0, from `taken` on.
   * @param most So many numbers at most are looked at.
   * @returns how many numbers have been taken now.
   */
  score(
    list: number,
    weight: number,
    scores: Float32Array,
    touched: Uint32Array,
    taken: number,
    most: number,
  ): number {
    const { values } = this;
    let rest = this.table[2 * list]!;
    let head = this.table[2 * list + 1]!;
    let left = Math.min(most, rest);
    let many = taken;
    while (left > 0) {
      const full = firstOf(rest);
      const begin = full === rest ? rest - roomBefore(rest) : full;
      for (let at = head + rest - begin; at > head && left > 0; at--, left--) {
        const number = values[at]!;
        if (scores[number] === 0) touched[many++] = number;
        scores[number]! += weight;
      }
      rest = begin;
      head = values[head]!;
    }
    return many;
  }

  private begin(before: number, room: number): number {
    const at = this.length;
    this.length += room + 1;
    if (this.length > this.values.length) {
      const wider = new Uint32Array(
        Math.max(this.length, this.values.length + (this.values.length >>> 1)),
      );
      wider.set(this.values);
      this.values = wider;
    }
    this.values[at] = before;
    return at;
  }
}

/** Blocks have room for 3, 7, 15 … 255 numbers; from the seventh on all are alike. */
const GROWING = 246;
const LARGEST = 255;

/** Of a list of so many numbers: how many lie in blocks that are full. */
function firstOf(count: number): number {
  if (count >= GROWING) return count - ((count - GROWING) % LARGEST);
  let [full, room] = [0, 3];
  while (full + room <= count) {
    full += room;
    room = 2 * room + 1;
  }
  return full;
}

/** The room of the block that begins behind so many numbers. */
function roomFrom(full: number): number {
  if (full >= GROWING) return LARGEST;
  let [before, room] = [0, 3];
  while (before < full) {
    before += room;
    room = 2 * room + 1;
  }
  return room;
}

/** The room of the block that ends with so many numbers. */
function roomBefore(full: number): number {
  if (full > GROWING) return LARGEST;
  let [before, room] = [0, 3];
  while (before + room < full) {
    before += room;
    room = 2 * room + 1;
  }
  return room;
}
