/*
 * What the bench of the engraver runs inside a page: the same twelve bars by this program and by
 * stock VexFlow 5, both up to laid-out SVG in the document. The rival is a script of its own with
 * its own copy of VexFlow, see `engrave-bench-stock.ts`.
 */
import type { Phrase, PhraseEvent } from '../../src/core/phrase/types';
import { createEngraver, engrave } from '../../src/engrave/engraver';
import type { EngraveOptions } from '../../src/engrave/options';
import type { DrawStock } from './engrave-bench-stock';

export interface BenchInput {
  /** Notes, rests, accidentals, beams, ties, staff and tablature: what both can draw. */
  readonly plain: Phrase;
  /** The same with chord symbols, degrees and techniques. */
  readonly full: Phrase;
  /** Index of the event that is edited. */
  readonly edited: number;
  readonly degrees: readonly (readonly [string, string])[];
  readonly rounds: number;
}

/** Medians in ms. */
export interface BenchResult {
  readonly ours: number;
  readonly oursFull: number;
  readonly stock: number;
  readonly stockFull: number;
  readonly editedBar: number;
  readonly allAgain: number;
}

const WIDTH = 900;

/** What the other script leaves behind. */
declare const drawStock: DrawStock;

function median(list: readonly number[]): number {
  const sorted = [...list].sort((a, b) => a - b);
  return sorted[sorted.length >> 1]!;
}

/** Time of a drawing with the layout it causes. */
function timed(draw: (host: HTMLElement) => void): number {
  const host = document.createElement('div');
  document.body.append(host);
  const start = performance.now();
  draw(host);
  host.getBoundingClientRect();
  const time = performance.now() - start;
  host.remove();
  return time;
}

function drawOurs(p: Phrase, o: EngraveOptions): (host: HTMLElement) => void {
  return (host) => {
    host.innerHTML = engrave(p, o)
      .systems.map((s) => s.svg)
      .join('');
  };
}

/** One bar changes: only the line that has it is drawn and laid out again. */
function measureEdit(input: BenchInput, o: EngraveOptions): readonly [number, number] {
  const engraver = createEngraver();
  const host = document.createElement('div');
  document.body.append(host);
  let shown: readonly object[] = [];
  const show = (p: Phrase) => {
    const { systems } = engraver.engrave(p, o);
    systems.forEach((s, i) => {
      if (shown[i] === s) return;
      const line = host.children[i] ?? host.appendChild(document.createElement('div'));
      line.innerHTML = s.svg;
    });
    shown = systems;
    host.getBoundingClientRect();
  };
  const edits: number[] = [];
  const alls: number[] = [];
  show(input.full);
  const edited = edit(input.full, input.edited);
  for (let i = 0; i < input.rounds; i++) {
    const start = performance.now();
    show(i % 2 === 0 ? edited : input.full);
    edits.push(performance.now() - start);
    alls.push(timed(drawOurs(input.full, o)));
  }
  host.remove();
  return [median(edits), median(alls)];
}

/** The phrase with one event played with vibrato; the others stay identical, as in the program. */
function edit(p: Phrase, index: number): Phrase {
  const [voice] = p.voices;
  const events = voice.events.map((e, i): PhraseEvent => {
    const [n, ...others] = e.notes;
    if (i !== index || n.kind === 'dead') return e;
    return { ...e, notes: [{ ...n, vibrato: 'wide' }, ...others] };
  });
  return { ...p, voices: [{ ...voice, events }] };
}

function runBench(input: BenchInput): BenchResult {
  const degrees = new Map(input.degrees.map(([id, text]) => [id, { text }]));
  const full: EngraveOptions = { width: WIDTH, degrees };
  const draws = {
    ours: drawOurs(input.plain, { width: WIDTH, tempo: false, barNumbers: false }),
    oursFull: drawOurs(input.full, full),
    stock: drawStock(input.plain, null, WIDTH),
    stockFull: drawStock(input.full, degrees, WIDTH),
  };
  const times = {
    ours: [] as number[],
    oursFull: [] as number[],
    stock: [] as number[],
    stockFull: [] as number[],
  };
  const names = Object.keys(draws) as (keyof typeof draws)[];
  // In turns, so that whatever else the machine does falls on all alike.
  for (let i = 0; i < input.rounds + 5; i++) {
    for (const name of names) {
      const time = timed(draws[name]);
      if (i >= 5) times[name].push(time);
    }
  }
  const [editedBar, allAgain] = measureEdit(input, full);
  return {
    ours: median(times.ours),
    oursFull: median(times.oursFull),
    stock: median(times.stock),
    stockFull: median(times.stockFull),
    editedBar,
    allAgain,
  };
}

Object.assign(globalThis, { runBench });
