/** Hits, how many there were and how many were said: adds up over phrases. */
export class Tally {
  private readonly counts = new Map<string, [number, number, number]>();

  add(name: string, hit: number, there: number, said: number): void {
    const c = this.counts.get(name) ?? [0, 0, 0];
    this.counts.set(name, [c[0] + hit, c[1] + there, c[2] + said]);
  }

  join(other: Tally): void {
    for (const [name, c] of other.counts) this.add(name, ...c);
  }

  names(): readonly string[] {
    return [...this.counts.keys()];
  }

  of(name: string): { f: number; hit: number; there: number; said: number } {
    const [hit, there, said] = this.counts.get(name) ?? [0, 0, 0];
    return { f: (2 * hit) / Math.max(1, there + said), hit, there, said };
  }
}
