/** One part of what is heard, computed block by block. */
export interface Source {
  /**
   * Fills `out` with the block that begins at sample `position` of the stream.
   * @returns False where it is silent; `out` is then of no use.
   */
  run(out: Float64Array, position: number): boolean;
  /** From sample `at` on nothing that was played before begins, and what sounds is damped. */
  stop(at: number): void;
}
