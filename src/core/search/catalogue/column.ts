export type Numbers = Uint8Array | Uint16Array | Uint32Array;

/** A list of numbers that grows; of a type of array that holds them close together. */
export class Column<A extends Numbers> {
  length = 0;

  constructor(public values: A) {}

  /** Takes numbers in place of its own. @param length So many of them; behind these is room to grow. */
  take(values: A, length = values.length): void {
    this.values = values;
    this.length = length;
  }

  push(n: number): void {
    if (this.length === this.values.length) {
      const make = this.values.constructor as new (length: number) => A;
      const wider = new make(Math.max(16, this.length + (this.length >>> 1)));
      wider.set(this.values);
      this.values = wider;
    }
    this.values[this.length++] = n;
  }
}

/** A column of whole numbers from 0 to 255. */
export const bytes = () => new Column(new Uint8Array(0));
/** A column of whole numbers from 0 to 65,535. */
export const shorts = () => new Column(new Uint16Array(0));
/** A column of whole numbers from 0 to 4,294,967,295. */
export const longs = () => new Column(new Uint32Array(0));
