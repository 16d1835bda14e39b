import type { Locator, Page } from 'playwright';

/**
 * Seconds of the keystroke-level model (Card, Moran and Newell 1980; from memory): a key of somebody who types 40
 * words a minute, pointing at something, a press or release of a button, the hand to another device, and making up one's mind.
 */
const SECONDS = { key: 0.28, point: 1.1, button: 0.1, hand: 0.4, mind: 1.35 } as const;
type Operator = keyof typeof SECONDS;

/** Somebody with one pointer and one keyboard, who is counted; what is pressed must be seen and not be covered. */
export class Person {
  readonly counted: Record<Operator, number> = { key: 0, point: 0, button: 0, hand: 0, mind: 0 };
  /** Seconds of reading, listening and choosing, which the model does not know. */
  looked = 0;
  actions = 0;
  private at: 'pointer' | 'keys' = 'pointer';

  constructor(readonly page: Page) {}

  get seconds(): number {
    const names = Object.keys(SECONDS) as Operator[];
    return names.reduce((sum, n) => sum + SECONDS[n] * this.counted[n], this.looked);
  }

  look(seconds: number): void {
    this.looked += seconds;
  }

  async press(what: Locator): Promise<void> {
    await this.goTo(what);
    await this.page.mouse.down();
    await this.page.mouse.up();
    this.counted.button += 2;
  }

  /** A list that opens: it is pressed, looked through and pressed again; the browser draws it outside the page. */
  async choose(list: Locator, words: string): Promise<void> {
    await this.goTo(list);
    await list.focus();
    await list.selectOption({ label: words });
    this.count('mind', 'point');
    this.counted.button += 4;
  }

  async drag(what: Locator, onto: Locator): Promise<void> {
    await this.goTo(what);
    await this.page.mouse.down();
    const { x, y } = await middleOf(onto);
    await this.page.mouse.move(x, y, { steps: 12 });
    await this.page.mouse.up();
    this.counted.button += 2;
    this.count('point');
  }

  async type(text: string): Promise<void> {
    this.toKeys();
    await this.page.keyboard.type(text);
    this.counted.key += text.length;
    this.actions += 1;
  }

  async keys(...names: readonly string[]): Promise<void> {
    this.toKeys();
    this.count('mind');
    for (const name of names) {
      await this.page.keyboard.press(name);
      this.counted.key += name.split('+').length;
    }
    this.actions += 1;
  }

  private async goTo(what: Locator): Promise<void> {
    await what.scrollIntoViewIfNeeded();
    const { x, y } = await middleOf(what);
    const covered = await what.evaluate(
      (e, [px, py]) => {
        const top = document.elementFromPoint(px!, py!);
        return !(top !== null && (e.contains(top) || top.contains(e)))
          ? (top?.outerHTML ?? '')
          : '';
      },
      [x, y],
    );
    if (covered !== '') throw new Error(`covered by ${covered.slice(0, 120)}`);
    await this.page.mouse.move(x, y, { steps: 3 });
    if (this.at === 'keys') this.count('hand');
    this.at = 'pointer';
    this.count('mind', 'point');
    this.actions += 1;
  }

  private toKeys(): void {
    if (this.at === 'pointer') this.count('hand');
    this.at = 'keys';
  }

  private count(...operators: readonly Operator[]): void {
    for (const o of operators) this.counted[o] += 1;
  }
}

async function middleOf(what: Locator): Promise<{ readonly x: number; readonly y: number }> {
  const box = await what.boundingBox();
  if (box === null) throw new Error('it is not on the page');
  return { x: box.x + box.width / 2, y: box.y + box.height / 2 };
}
