/**
 * Things by key in a list that changes one place at a time: a change costs a copy of the list, however
 * much each thing in it cost to make.
 */
export class KeyedList<T> {
  private readonly list: T[] = [];
  /** Keys in the order of the list. */
  private readonly keys: string[] = [];
  private readonly places = new Map<string, number>();

  /** The list as it is now, which stays as it is. */
  now(): readonly T[] {
    return this.list.slice();
  }

  set(key: string, value: T): void {
    const at = this.places.get(key) ?? this.list.length;
    this.list[at] = value;
    this.keys[at] = key;
    this.places.set(key, at);
  }

  /** The last one takes the place of the one that goes. */
  delete(key: string): void {
    const at = this.places.get(key);
    if (at === undefined) return;
    const [last, lastKey] = [this.list.pop()!, this.keys.pop()!];
    this.places.delete(key);
    if (lastKey === key) return;
    this.list[at] = last;
    this.keys[at] = lastKey;
    this.places.set(lastKey, at);
  }
}
