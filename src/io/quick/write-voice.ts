import { NOTE_VALUES, valueOfTicks } from '../../core/phrase/note-value';
import { type BarSpan, barSpans, meterTicks } from '../../core/phrase/time';
import { ratioText } from '../../core/phrase/tuplet-ratio';
import type { Bar, Phrase, PhraseEvent, Ticks, Tuplet, Voice } from '../../core/phrase/types';
import { endOf } from '../../core/phrase/walk';
import { VALUE_WORDS } from './signs';
import { eventText, type Running } from './write-note';

/** The words of one voice; the first has bar lines with repeats, chords and marks. */
export function voiceText(p: Phrase, v: Voice, isFirst: boolean): string {
  return new VoiceWriter(p, v, isFirst).text();
}

/** Goes through a voice and writes word after word. */
class VoiceWriter {
  private readonly words: string[] = [];
  private readonly running: Running = { value: 'e', string: 0 };
  private readonly spans: readonly BarSpan[];
  /** What stands between words at a moment: chords, marks. */
  private readonly pending: readonly Standing[];
  private nextStanding = 0;
  private nextBar = 0;
  private at: Ticks = 0;
  /** The bar line written last, while nothing but chords and marks has come after it. */
  private lineAt: Ticks | null = null;
  private open: Tuplet | null = null;

  constructor(
    private readonly p: Phrase,
    private readonly v: Voice,
    private readonly isFirst: boolean,
  ) {
    this.spans = barSpans(p);
    this.pending = isFirst ? standing(p) : [];
  }

  text(): string {
    const { p, v, words } = this;
    const bar = this.spans[0]!;
    if (bar.number === 1 && this.isFirst) words.push(...barOpening(bar.bar, null));
    for (const e of v.events) this.event(e);
    this.restUntil(p.length);
    this.sayStanding(p.length);
    return words.join(' ').replaceAll('( ', '(').replaceAll(' )', ')');
  }

  private event(e: PhraseEvent): void {
    const { p, v, words, running } = this;
    this.restUntil(e.onset);
    this.sayStanding(this.at);
    this.openTuplet(tupletAt(v, this.at));
    const end = endOf(e);
    if (this.crosses(end)) {
      words.push(`'${e.duration}`);
      running.value = `'${e.duration}`;
    } else this.setValue(e.duration);
    words.push(eventText(p, e, running));
    this.lineAt = null;
    this.sayInside(e);
    this.at = end;
    this.closeTuplet();
    for (const t of v.tuplets) {
      // Held over the whole of it: nothing starts there, but the page shows it.
      if (t.onset > e.onset && t.onset + t.duration <= end) {
        words.push(`${ratioText(t)}'${t.onset}(`, `)'${t.onset + t.duration}`);
      }
    }
    this.barLines(this.at);
  }

  /** A note that leaves its tuplet, or comes into one, says its time in ticks. */
  private crosses(end: Ticks): boolean {
    const { at, open, v } = this;
    if (open === null) return v.tuplets.some((t) => t.onset > at && t.onset < end);
    return end > open.onset + open.duration;
  }

  private setValue(ticks: Ticks): void {
    const { open, running } = this;
    const word = valueWord(open === null ? ticks : (ticks * open.actual) / open.normal);
    const text = word ?? `'${ticks}`;
    if (text !== running.value) this.words.push(text);
    running.value = text;
  }

  private sayStanding(until: Ticks): void {
    const here = this.lineAt ?? this.at;
    for (let s = this.pending[this.nextStanding]; s !== undefined && s.onset <= until; ) {
      // Inside a note nothing can stand: its time is said.
      this.words.push(s.onset === here ? s.text : `${s.text}'${s.onset}`);
      s = this.pending[++this.nextStanding];
    }
  }

  private sayInside(e: PhraseEvent): void {
    for (let s = this.pending[this.nextStanding]; s !== undefined && s.onset < endOf(e); ) {
      this.words.push(`${s.text}'${s.onset}`);
      s = this.pending[++this.nextStanding];
    }
  }

  private restUntil(end: Ticks): void {
    const { v } = this;
    while (this.at < end) {
      this.sayStanding(this.at);
      const tuplet = tupletAt(v, this.at);
      this.openTuplet(tuplet);
      const stops = [
        end,
        ...(tuplet === null ? v.tuplets.map((t) => t.onset) : [tuplet.onset + tuplet.duration]),
        ...this.spans.map((s) => s.end),
        ...this.pending.map((s) => s.onset),
      ].filter((t) => t > this.at);
      const to = Math.min(...stops);
      this.setValue(to - this.at);
      this.words.push('r');
      this.lineAt = null;
      this.at = to;
      this.closeTuplet();
      this.barLines(this.at);
    }
  }

  private openTuplet(t: Tuplet | null): void {
    if (t === null || this.open === t) return;
    this.open = t;
    // A note may be held into it, or out of it: then its own ticks are said.
    this.words.push(t.onset === this.at ? `${ratioText(t)}(` : `${ratioText(t)}'${t.onset}(`);
    // Values inside are written ones again.
    this.running.value = '';
  }

  private closeTuplet(): void {
    const { open, at } = this;
    if (open === null || at < open.onset + open.duration) return;
    const end = open.onset + open.duration;
    this.words.push(at === end ? ')' : `)'${end}`);
    this.open = null;
    this.running.value = '';
  }

  private barLines(until: Ticks): void {
    const { spans, isFirst, words } = this;
    while (this.nextBar < spans.length && spans[this.nextBar]!.end <= until) {
      const here = spans[this.nextBar]!;
      const after = spans[this.nextBar + 1] ?? null;
      const isFull = here.number === 0 || here.end - here.start === meterTicks(here.bar.meter);
      this.nextBar++;
      this.lineAt = here.end;
      if (after === null && !isFull) {
        // A phrase that ends inside its last bar has no line there, unless it repeats.
        if (isFirst && here.bar.repeatEnd !== undefined) {
          words.push(...barWords(here.bar, null, true));
        }
        return;
      }
      const line = barWords(here.number === 0 ? null : here.bar, after?.bar ?? null, isFirst);
      // Right after another line, the opening of a bar would not be taken for one that closes too.
      const touches = /^:?\|/u.test(words.at(-1) ?? '') && /^\|./u.test(line[0]!);
      words.push(...(touches ? ['|'] : []), ...line);
      if (isFirst && after !== null && here.number > 0 && !sameMeter(here.bar, after.bar)) {
        words.push(`${after.bar.meter.beats}/${after.bar.meter.beatType}`);
      }
    }
  }
}

function tupletAt(v: Voice, at: Ticks): Tuplet | null {
  return v.tuplets.find((t) => t.onset <= at && at < t.onset + t.duration) ?? null;
}

/** A chord or mark as it is written, and when. */
interface Standing {
  readonly onset: Ticks;
  readonly text: string;
}

function sameMeter(a: Bar, b: Bar): boolean {
  return a.meter.beats === b.meter.beats && a.meter.beatType === b.meter.beatType;
}

/** Everything that stands at moments, by time: chords, then dynamics, then words. */
function standing(p: Phrase): readonly Standing[] {
  return [
    ...p.chords.map((c) => ({ onset: c.onset, text: `{${c.symbol ?? 'N.C.'}}` })),
    ...p.marks.map((m) => ({
      onset: m.onset,
      text: m.kind === 'dynamic' ? `%${m.value}` : JSON.stringify(m.text),
    })),
  ].sort((a, b) => a.onset - b.onset);
}

/** Bar line between two bars with repeats and endings; the second voice has plain lines. */
function barWords(before: Bar | null, after: Bar | null, isFirst: boolean): readonly string[] {
  if (!isFirst) return ['|'];
  const close =
    before?.repeatEnd === undefined ? '' : `:|${before.repeatEnd === 2 ? '' : before.repeatEnd}`;
  const opening = after === null ? [] : barOpening(after, before);
  if (close === '') return opening.length > 0 ? opening : ['|'];
  return [close, ...opening];
}

/** `|:` and endings at the beginning of a bar. */
function barOpening(bar: Bar, before: Bar | null): readonly string[] {
  const ending = bar.ending;
  const goesOn =
    ending !== undefined &&
    before?.ending !== undefined &&
    before.repeatEnd === undefined &&
    before.ending.join() === ending.join();
  return [
    ...(ending === undefined ? [] : [goesOn ? '|=' : `|${ending.join(',')}.`]),
    ...(bar.repeatStart === true ? ['|:'] : []),
  ];
}

/** The word of a length; tied values where one does not do. Null for a length no values make. */
function valueWord(ticks: Ticks): string | null {
  if (!Number.isInteger(ticks)) return null;
  const single = singleValue(ticks);
  if (single !== null) return single;
  const parts: string[] = [];
  let left = ticks;
  while (left > 0 && parts.length < 6) {
    const value = NOTE_VALUES.map((x) => ({ x, n: 40_320 / 2 ** NOTE_VALUES.indexOf(x) })).find(
      (c) => c.n <= left,
    );
    if (value === undefined) return null;
    parts.push(LETTERS[value.x]!);
    left -= value.n;
  }
  return left === 0 ? parts.join('_') : null;
}

const LETTERS: Readonly<Record<string, string>> = Object.fromEntries(
  Object.entries(VALUE_WORDS).map(([word, value]) => [value, word]),
);

function singleValue(ticks: Ticks): string | null {
  const v = valueOfTicks(ticks);
  return v === null ? null : `${LETTERS[v.value]}${v.dots === 1 ? '.' : ''}`;
}
