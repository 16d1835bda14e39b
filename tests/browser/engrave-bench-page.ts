/*
 * What the bench of the engraver runs inside a page: the same twelve bars by this program and by
 * stock VexFlow 5, both up to laid-out SVG in the document.
 */
import {
  Accidental,
  Annotation,
  Beam,
  Dot,
  Formatter,
  GhostNote,
  Renderer,
  Stave,
  StaveNote,
  TabNote,
  TabStave,
  VexFlow,
  Voice,
} from 'vexflow/core';
import type { Phrase, PhraseEvent } from '../../src/core/phrase/types';
import { alterText } from '../../src/core/theory/pitch';
import { createEngraver, engrave } from '../../src/engrave/engraver';
import type { EngraveOptions } from '../../src/engrave/options';
import { type ScoreBar, type ScoreItem, scoreOf } from '../../src/engrave/score/score';
import type { DegreeLabels } from '../../src/engrave/text/degrees';

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
const BARS_IN_LINE = 4;

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

const VALUES: Readonly<Record<string, string>> = {
  whole: '1',
  half: '2',
  quarter: '4',
  eighth: '8',
  '16th': '16',
};

/** Stock VexFlow on the same music: staff and tablature joined, four bars a line. */
function drawStock(p: Phrase, degrees: DegreeLabels | null): (host: HTMLElement) => void {
  const bars = scoreOf(p);
  return (host) => {
    const lines = Math.ceil(bars.length / BARS_IN_LINE);
    const renderer = new Renderer(host as HTMLDivElement, Renderer.Backends.SVG);
    renderer.resize(WIDTH, lines * 260);
    const context = renderer.getContext();
    bars.forEach((bar, i) => {
      const x = (i % BARS_IN_LINE) * (WIDTH / BARS_IN_LINE);
      const y = Math.floor(i / BARS_IN_LINE) * 260;
      drawStockBar(p, bar, i % BARS_IN_LINE === 0, { x, y }, degrees, context);
    });
  };
}

function drawStockBar(
  p: Phrase,
  bar: ScoreBar,
  first: boolean,
  at: { x: number; y: number },
  degrees: DegreeLabels | null,
  context: ReturnType<Renderer['getContext']>,
): void {
  const width = WIDTH / BARS_IN_LINE;
  const stave = new Stave(at.x, at.y, width);
  const tab = new TabStave(at.x, at.y + 110, width);
  if (first) {
    stave.addClef('treble', 'default', '8vb').addKeySignature('G').addTimeSignature('4/4');
    tab.addClef('tab');
  }
  stave.setContext(context).draw();
  tab.setContext(context).draw();
  const startX = Math.max(stave.getNoteStartX(), tab.getNoteStartX());
  stave.setNoteStartX(startX);
  tab.setNoteStartX(startX);
  const items = bar.voices[0]!;
  const notes = items.map((item) => stockNote(item));
  const frets = items.map((item) => stockFret(item));
  items.forEach((item, i) => {
    const chord = p.chords.find((c) => c.onset === item.written.onset);
    if (chord?.symbol != null) notes[i]!.addModifier(new Annotation(chord.symbol), 0);
    const label = degrees?.get(item.notes[0]?.note.id ?? '');
    const below = new Annotation(label?.text ?? '').setVerticalJustification(
      Annotation.VerticalJustify.BOTTOM,
    );
    if (label !== undefined) notes[i]!.addModifier(below, 0);
  });
  const beams = Beam.generateBeams(notes, { beamRests: false });
  const staff = new Voice({ numBeats: 4, beatValue: 4 }).setStrict(false).addTickables(notes);
  const line = new Voice({ numBeats: 4, beatValue: 4 }).setStrict(false).addTickables(frets);
  new Formatter()
    .joinVoices([staff])
    .joinVoices([line])
    .format([staff, line], at.x + width - startX - 20);
  staff.draw(context, stave);
  line.draw(context, tab);
  for (const b of beams) b.setContext(context).draw();
}

function stockNote(item: ScoreItem): StaveNote {
  const duration = VALUES[item.written.value]! + 'd'.repeat(item.written.dots);
  if (item.event === null) return new StaveNote({ keys: ['b/4'], duration: `${duration}r` });
  const keys = item.notes.map(({ note }) =>
    note.kind === 'pitched'
      ? `${note.pitch.letter.toLowerCase()}${alterText(note.pitch.alter)}/${note.pitch.octave + 1}`
      : 'b/4',
  );
  const staveNote = new StaveNote({ keys, duration, autoStem: true });
  item.notes.forEach((n, k) => {
    if (n.accidental === null || n.note.kind === 'dead') return;
    staveNote.addModifier(new Accidental(alterText(n.note.pitch.alter) || 'n'), k);
  });
  if (item.written.dots > 0) Dot.buildAndAttach([staveNote], { all: true });
  return staveNote;
}

function stockFret(item: ScoreItem): TabNote | GhostNote {
  const duration = VALUES[item.written.value]! + 'd'.repeat(item.written.dots);
  if (item.event === null) return new GhostNote({ duration });
  const positions = item.event.notes.map((n) => ({ str: n.string, fret: n.fret }));
  return new TabNote({ positions, duration });
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
  VexFlow.setFonts('Bravura', 'Academico');
  const degrees = new Map(input.degrees.map(([id, text]) => [id, { text }]));
  const full: EngraveOptions = { width: WIDTH, degrees };
  const draws = {
    ours: drawOurs(input.plain, { width: WIDTH, tempo: false, barNumbers: false }),
    oursFull: drawOurs(input.full, full),
    stock: drawStock(input.plain, null),
    stockFull: drawStock(input.full, degrees),
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
