import { NO_DEGREES, NO_NOTES } from '../core/lesson/line-notes';
import { placeWords } from '../core/phrase/time-words';
import type { Phrase, Ticks } from '../core/phrase/types';
import type { Stretch } from '../core/practice/types';
import { DRAG } from './bars';

/** A finger or a pointer so near to a note means it, in px. */
const NEAR = 11;

/** Where a moment stands in a line that is shown. */
interface Moment {
  readonly line: HTMLElement;
  readonly onset: Ticks;
  /** Of the width of the line. */
  readonly percent: number;
  /** What its notes are, `♭3+5`; empty where that is asked, or where they have none. */
  readonly degrees: string;
}

/** Hears a piece of the music of a page. */
export type Hear = (stretch: Stretch) => void;

/**
 * The notes of some music one by one: pressed in its lines, or one after the other with two buttons. Each is
 * heard, and what it is stands over it and is told to a screen reader.
 */
export class NoteByNote {
  private at: Ticks | null = null;
  private readonly chip = document.createElement('i');

  /**
   * @param music With a button in its first paragraph, and lines.
   * @param told Where a screen reader hears what a note is.
   * @param bars What is chosen to be played; null for all.
   */
  constructor(
    private readonly music: HTMLElement,
    private readonly phrase: Phrase,
    private readonly told: HTMLElement,
    private readonly bars: () => Stretch | null,
    private readonly hear: Hear,
  ) {
    this.chip.className = 'struck';
    this.chip.setAttribute('aria-hidden', 'true');
  }

  /** Puts its two buttons behind what stands beside the button of the music, and hears presses on the lines. */
  listen(): void {
    const group = document.createElement('span');
    group.className = 'which-bars';
    const title = this.music.querySelector('button .unseen')?.textContent ?? '';
    group.append(this.button('Note before', title, -1), this.button('Next note', title, 1));
    this.music.querySelector('p')!.append(group);
    for (const line of this.music.querySelectorAll<HTMLElement>('.line')) {
      let from = 0;
      line.addEventListener('pointerdown', (e) => {
        from = e.clientX;
      });
      line.addEventListener('click', (e) => {
        if (Math.abs(e.clientX - from) <= DRAG) this.under(line, e.clientX)?.();
      });
    }
  }

  /** What is pressed at a place of a line; null where no note is near. */
  under(line: HTMLElement, x: number): (() => void) | null {
    const { left, width } = line.getBoundingClientRect();
    const away = (m: Moment) => Math.abs(left + (width * m.percent) / 100 - x);
    const [nearest] = momentsOf(line, this.phrase).sort((a, b) => away(a) - away(b));
    return nearest === undefined || away(nearest) > NEAR ? null : () => this.show(nearest);
  }

  /** Takes the sign away. */
  clear(): void {
    this.chip.remove();
    this.at = null;
  }

  private button(text: string, title: string, by: 1 | -1): HTMLButtonElement {
    const button = document.createElement('button');
    button.type = 'button';
    button.append(text);
    const unseen = document.createElement('span');
    unseen.className = 'unseen';
    unseen.append(` in ${title.trim()}`);
    button.append(unseen);
    button.addEventListener('click', () => this.step(by));
    return button;
  }

  /** To the note after or before the one that was heard last, within the bars that are chosen, and round. */
  private step(by: 1 | -1): void {
    const lines = [...this.music.querySelectorAll<HTMLElement>('.line')];
    const shown = lines.filter((l) => l.offsetParent !== null);
    const { from, to } = this.bars() ?? { from: 0, to: Number.POSITIVE_INFINITY };
    const moments = shown
      .flatMap((l) => momentsOf(l, this.phrase))
      .filter((m) => m.onset >= from && m.onset < to);
    const { at } = this;
    const next =
      by > 0
        ? moments.find((m) => at === null || m.onset > at)
        : moments.filter((m) => at === null || m.onset < at).at(-1);
    const found = next ?? (by > 0 ? moments[0] : moments.at(-1));
    if (found === undefined) return;
    // Before it is heard: what is pressed in a line is in sight already.
    const { top, bottom } = found.line.getBoundingClientRect();
    if (top < 0 || bottom > window.innerHeight - 80) found.line.scrollIntoView({ block: 'center' });
    this.show(found);
  }

  private show(m: Moment): void {
    this.at = m.onset;
    const events = eventsAt(this.phrase, m.onset);
    const degrees = m.degrees.split('+').filter((d) => d !== '');
    const places = events
      .flatMap((e) => e.notes)
      .map((n) => `string ${n.string}, ${n.fret === 0 ? 'open' : `fret ${n.fret}`}`);
    const what = degrees.length === 0 ? [] : [degrees.join(' and ')];
    this.told.textContent = `${placeWords(this.phrase, m.onset)}: ${[...what, ...places].join('; ')}.`;
    this.chip.textContent = degrees.join(' ');
    this.chip.style.left = `${m.percent}%`;
    m.line.append(this.chip);
    const end = Math.max(...events.map((e) => e.onset + e.duration));
    this.hear({ from: m.onset, to: end, fills: 'beat' });
  }
}

function momentsOf(line: HTMLElement, p: Phrase): Moment[] {
  const degrees = (line.dataset.told ?? '').split(' ');
  return (line.dataset.at ?? '').split(' ').flatMap((word, i) => {
    const [onset, percent] = word.split(':').map(Number);
    const what = degrees[i] ?? NO_NOTES;
    if (onset === undefined || percent === undefined || what === NO_NOTES) return [];
    if (eventsAt(p, onset).length === 0) return [];
    return [{ line, onset, percent, degrees: what === NO_DEGREES ? '' : what }];
  });
}

const eventsAt = (p: Phrase, onset: Ticks) =>
  p.voices.flatMap((v) => v.events.filter((e) => e.onset === onset));
