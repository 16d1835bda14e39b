/*
 * The rival of the bench: stock VexFlow 5 with its own context, in a script of its own, since the
 * program changes how the copy that it draws with measures and looks things up.
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
import type { Phrase } from '../../src/core/phrase/types';
import { alterText } from '../../src/core/theory/pitch';
import { type ScoreBar, type ScoreItem, scoreOf } from '../../src/engrave/score/score';
import type { DegreeLabels } from '../../src/engrave/text/degrees';

const BARS_IN_LINE = 4;

export type DrawStock = typeof drawStock;

const VALUES: Readonly<Record<string, string>> = {
  whole: '1',
  half: '2',
  quarter: '4',
  eighth: '8',
  '16th': '16',
};

/** Stock VexFlow on the same music: staff and tablature joined, four bars a line. */
function drawStock(
  p: Phrase,
  degrees: DegreeLabels | null,
  width: number,
): (host: HTMLElement) => void {
  const bars = scoreOf(p);
  return (host) => {
    const lines = Math.ceil(bars.length / BARS_IN_LINE);
    const renderer = new Renderer(host as HTMLDivElement, Renderer.Backends.SVG);
    renderer.resize(width, lines * 260);
    const context = renderer.getContext();
    bars.forEach((bar, i) => {
      const x = (i % BARS_IN_LINE) * (width / BARS_IN_LINE);
      const y = Math.floor(i / BARS_IN_LINE) * 260;
      const at = { x, y, width: width / BARS_IN_LINE };
      drawStockBar(p, bar, i % BARS_IN_LINE === 0, at, degrees, context);
    });
  };
}

function drawStockBar(
  p: Phrase,
  bar: ScoreBar,
  first: boolean,
  at: { x: number; y: number; width: number },
  degrees: DegreeLabels | null,
  context: ReturnType<Renderer['getContext']>,
): void {
  const { width } = at;
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

VexFlow.setFonts('Bravura', 'Academico');
Object.assign(globalThis, { drawStock });
