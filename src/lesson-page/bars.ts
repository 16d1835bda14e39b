import {
  type BarRange,
  barAtPercent,
  chosenIn,
  lineBarsIn,
  pressed,
} from '../core/lesson/line-bars';
import { barSpans } from '../core/phrase/time';
import type { Phrase } from '../core/phrase/types';
import type { Stretch } from '../core/practice/types';

/** A press that goes on for so many px sideways is a drag. */
export const DRAG = 8;

/**
 * Which bars of some music are played: chosen beside its button, by keys, or by pressing and dragging over its
 * lines.
 */
export class BarChoice {
  private range: BarRange | null = null;
  private readonly spans;
  private readonly fields: readonly [from: HTMLSelectElement, to: HTMLSelectElement];
  private readonly lines: readonly HTMLElement[];

  /**
   * @param music With a button in its first paragraph, and lines.
   * @param changed Told when other bars are chosen.
   * @param noteUnder Something else that is meant by a press without a drag; null where that is a bar.
   */
  constructor(
    music: HTMLElement,
    phrase: Phrase,
    title: string,
    private readonly changed: () => void,
    private readonly noteUnder: (line: HTMLElement, x: number) => unknown,
  ) {
    this.spans = barSpans(phrase);
    this.lines = [...music.querySelectorAll<HTMLElement>('.line')];
    this.fields = [this.field('Bars', title), this.field('to', title)];
    const group = document.createElement('span');
    group.className = 'which-bars';
    group.append(...this.fields.map((f) => f.parentElement!));
    music.querySelector('p')!.append(group);
    for (const line of this.lines) this.listen(line);
    this.show();
  }

  /** Null where all of it is played, with its repeats. */
  get stretch(): Stretch | null {
    if (this.range === null) return null;
    const [first, last] = this.range;
    const own = this.spans.filter((s) => s.number >= first && s.number <= last);
    return { from: own[0]!.start, to: own.at(-1)!.end, fills: 'bar' };
  }

  private field(label: string, title: string): HTMLSelectElement {
    const select = document.createElement('select');
    for (const { number } of this.spans) {
      select.append(new Option(number === 0 ? 'pickup' : String(number), String(number)));
    }
    // It begins with what is seen, for who calls a field by what stands beside it (WCAG 2.5.3).
    const which = label === 'to' ? 'last' : 'first';
    select.setAttribute('aria-label', `${label}, ${which} bar of ${title}`);
    select.addEventListener('change', () => {
      const [a, b] = this.fields.map((f) => Number(f.value)) as [number, number];
      if (a <= b) this.set([a, b]);
      else this.set(select === this.fields[0] ? [a, a] : [b, b]);
    });
    const whole = document.createElement('label');
    whole.append(`${label} `, select);
    return select;
  }

  private set(range: BarRange | null): void {
    this.show(range);
    const before = this.stretch;
    this.range = this.isAll(range) ? null : range;
    const now = this.stretch;
    if (before?.from !== now?.from || before?.to !== now?.to) this.changed();
  }

  private get all(): BarRange {
    return [this.spans[0]!.number, this.spans.at(-1)!.number];
  }

  private isAll(range: BarRange | null): boolean {
    const [first, last] = this.all;
    return range === null || (range[0] === first && range[1] === last);
  }

  private show(range: BarRange | null = this.range): void {
    const [first, last] = range ?? this.all;
    this.fields[0].value = String(first);
    this.fields[1].value = String(last);
    for (const line of this.lines) {
      line.querySelector('.chosen')?.remove();
      const at = this.isAll(range)
        ? null
        : chosenIn(lineBarsIn(line.dataset.bars ?? ''), [first, last]);
      if (at === null) continue;
      const mark = document.createElement('i');
      mark.className = 'chosen';
      mark.setAttribute('aria-hidden', 'true');
      mark.style.left = `${at.left}%`;
      mark.style.width = `${at.width}%`;
      line.prepend(mark);
    }
  }

  /** From the bar that is pressed to the one where the finger or the pointer leaves. */
  private listen(line: HTMLElement): void {
    let from: number | null = null;
    let pressedAt = 0;
    let drawn = false;
    line.addEventListener('pointerdown', (e) => {
      if (e.button !== 0 || !e.isPrimary) return;
      line.setPointerCapture(e.pointerId);
      from = this.barUnder(e);
      pressedAt = e.clientX;
      drawn = false;
    });
    const moved = (e: PointerEvent) => {
      const to = from === null ? null : this.barUnder(e);
      return from === null || to === null ? null : pressed(from, to, this.range);
    };
    // A finger that pushes the page up or down chooses nothing: it is called off.
    line.addEventListener('pointercancel', () => {
      from = null;
      this.show();
    });
    line.addEventListener('pointermove', (e) => {
      if (from === null) return;
      drawn ||= Math.abs(e.clientX - pressedAt) > DRAG;
      if (drawn) this.show(moved(e));
    });
    line.addEventListener('pointerup', (e) => {
      if (from === null) return;
      const range = moved(e);
      from = null;
      // A press on a note hears it (`notes.ts`); bars are drawn over, or pressed where no note is.
      if (drawn || this.noteUnder(line, e.clientX) === null) this.set(range);
    });
  }

  /** Of the line that is under the pointer, which may be another one than was pressed. */
  private barUnder(e: PointerEvent): number | null {
    const under = document.elementFromPoint(e.clientX, e.clientY)?.closest<HTMLElement>('.line');
    const pressedAt = (e.currentTarget as HTMLElement) ?? null;
    const line = under && this.lines.includes(under) ? under : pressedAt;
    const { left, width } = line.getBoundingClientRect();
    const bars = lineBarsIn(line.dataset.bars ?? '');
    return barAtPercent(bars, (100 * (e.clientX - left)) / width);
  }
}
