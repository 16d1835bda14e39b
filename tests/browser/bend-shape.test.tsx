import axe from 'axe-core';
import { act, useState } from 'react';
import { createRoot, type Root } from 'react-dom/client';
import { afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { userEvent } from 'vitest/browser';
import { type History, NO_HISTORY, record, undo } from '../../src/core/edit/history';
import { runCommand, whyNot } from '../../src/core/edit/run';
import { type EditState, startEditing } from '../../src/core/edit/state';
import type { Phrase } from '../../src/core/phrase/types';
import { bendSemitones, notesOf } from '../../src/core/phrase/walk';
import '../../src/ui/theme/theme.css';
import '../../src/ui/theme/base.css';
import type { Writer } from '../../src/ui/frame/writing/writer';
import { BendShape } from '../../src/ui/write/parts/bend-shape';
import { PartsOnDemand } from '../../src/ui/write/parts/parts-on-demand';
import { build } from '../support/build';

let root: Root;
let state: EditState;
let history: History;
let done = 0;
const place = document.createElement('div');

/** Over A7: ♭7 bent to R on string 2 with 5 bent to 6 on string 3, a half note; then a plain note. */
const DOUBLE_STOP = build('h 2/8(bend:A4)+3/9(bend:F#4) h 3/5', { chords: 'A7' });

beforeAll(() => {
  Object.assign(globalThis, { IS_REACT_ACT_ENVIRONMENT: true });
  document.body.append(place);
});

beforeEach(() => {
  done = 0;
  place.style.width = '760px';
});

afterEach(async () => act(async () => root.unmount()));

interface PageProps {
  readonly phrase: Phrase;
  /** With the other parts, to be unfolded. */
  readonly folded?: boolean;
}

function Page({ phrase, folded = false }: PageProps) {
  const [now, setNow] = useState(() => ({ state: startEditing(phrase), history: NO_HISTORY }));
  state = now.state;
  history = now.history;
  const writer: Writer = {
    state: now.state,
    history: now.history,
    told: { text: '', refused: false },
    run: (command, value) => runCommand(now.state, command, value),
    take: (make, note) => {
      const outcome = make(now.state);
      if (outcome.kind === 'done') {
        setNow(record(now.history, now.state, outcome.state, { ...note, at: 0 }));
      }
      return outcome;
    },
    why: (command, value) => whyNot(now.state, command, value),
    undo: () => undefined,
    redo: () => undefined,
  };
  const onDone = () => {
    done += 1;
  };
  return folded ? (
    <PartsOnDemand writer={writer} onDone={onDone} />
  ) : (
    <BendShape writer={writer} onDone={onDone} />
  );
}

async function open(phrase: Phrase = DOUBLE_STOP): Promise<void> {
  root = createRoot(place);
  await act(async () => root.render(<Page phrase={phrase} />));
}

function board(string: number): HTMLElement {
  const found = [...place.querySelectorAll<HTMLElement>('.bend-board')].find((b) =>
    b.getAttribute('aria-label')?.startsWith(`Bend on string ${string},`),
  );
  if (found === undefined) throw new Error(`no bend is drawn for string ${string}`);
  return found;
}

function handle(string: number, hold: number | 'target'): HTMLElement {
  const found = board(string).querySelector<HTMLElement>(`[data-hold="${hold}"]`);
  if (found === null) throw new Error(`there is no ${hold} on string ${string}`);
  return found;
}

const value = (string: number, hold: number | 'target') =>
  handle(string, hold).getAttribute('aria-valuetext');

const said = (string: number) =>
  board(string).parentElement?.querySelector('[role="status"]')?.textContent;

/** `at amount` of every point in the phrase. */
function curve(string: number): string[] {
  const { bend } = bentNote(string);
  return (bend?.curve ?? []).map((p) => `${p.at} ${p.amount}`);
}

function bentNote(string: number) {
  const found = notesOf(state.phrase).find(({ note }) => note.string === string)?.note;
  if (found?.kind !== 'pitched') throw new Error(`no pitch on string ${string}`);
  return found;
}

function middle(e: Element) {
  const box = e.getBoundingClientRect();
  return { x: box.left + box.width / 2, y: box.top + box.height / 2 };
}

/** Width of the note and height of a semitone on the screen. */
function measures(string: number) {
  const first = middle(handle(string, 0));
  const last = middle(handle(string, 2));
  return { note: last.x - first.x, semitone: (first.y - last.y) / 2 };
}

/** A pointer's event at a place of the window; number 1 is the mouse, which always exists. */
async function point(type: string, at: { x: number; y: number }): Promise<void> {
  const target = document.elementFromPoint(at.x, at.y);
  if (target === null) throw new Error('nothing is there');
  await act(async () => {
    target.dispatchEvent(
      new PointerEvent(type, {
        bubbles: true,
        cancelable: true,
        pointerId: 1,
        pointerType: 'mouse',
        isPrimary: true,
        button: type === 'pointermove' ? -1 : 0,
        buttons: type === 'pointerup' ? 0 : 1,
        clientX: at.x,
        clientY: at.y,
      }),
    );
  });
}

/** Pressed in the middle of a handle and moved, not let go. */
async function drag(string: number, hold: number | 'target', by: { x: number; y: number }) {
  const from = middle(handle(string, hold));
  const to = { x: from.x + by.x, y: from.y + by.y };
  await point('pointerdown', from);
  await point('pointermove', { x: (from.x + to.x) / 2, y: (from.y + to.y) / 2 });
  await point('pointermove', to);
  return to;
}

/** What comes from the browser itself, a mouse or a file that is fetched, is not waited for by React. */
async function fromOutside(run: () => Promise<void>): Promise<void> {
  Object.assign(globalThis, { IS_REACT_ACT_ENVIRONMENT: false });
  try {
    await run();
  } finally {
    Object.assign(globalThis, { IS_REACT_ACT_ENVIRONMENT: true });
  }
}

async function press(...keys: readonly string[]): Promise<void> {
  for (const key of keys) {
    await act(async () => {
      const target = document.activeElement ?? document.body;
      target.dispatchEvent(new KeyboardEvent('keydown', { key, bubbles: true, cancelable: true }));
    });
  }
}

async function click(name: string, string: number): Promise<void> {
  const buttons = [...(board(string).parentElement?.querySelectorAll('button') ?? [])];
  const found = buttons.find((b) => b.textContent === name);
  if (found === undefined) throw new Error(`${name} is not among the buttons`);
  await act(async () => found.click());
}

describe('the shape of the bend', () => {
  it('draws each string of a double stop with its own degrees', async () => {
    await open();
    expect(place.querySelectorAll('.bend-board')).toHaveLength(2);
    const words = [...place.querySelectorAll('.bend-words')].map((p) => p.textContent);
    expect(words).toEqual([
      '♭7 → R over A7: bent up, a whole tone',
      '5 → 6 over A7: bent up, a whole tone',
    ]);
    expect(value(2, 1)).toBe('after half the note, a whole tone up, R');
    expect(value(3, 0)).toBe('as the note begins, not bent, 5');
    expect(value(3, 'target')).toBe('a whole tone, up to 6');
  });

  it('marks the beats of the note', async () => {
    // A dotted half from the first beat of 2/4: two beats and the first of the next bar.
    await open(build('h. 2/8(bend:A4) q 3/5', { chords: 'A7', meter: '2/4' }));
    const texts = [...board(2).querySelectorAll('svg .bend-soft')].map((t) => t.textContent ?? '');
    const from = texts.indexOf('beats');
    expect(texts.slice(from, from + 4)).toEqual(['beats', '1', '2', 'bar 2']);
    const lines = [...board(2).querySelectorAll('svg .bend-beat')].map((l) => middle(l).x);
    const third = measures(2).note / 3;
    expect(lines.map((x) => Math.round((x - (lines[0] ?? 0)) / third))).toEqual([0, 1, 2, 3]);
  });

  it('draws a low string, which is bent less, as large and at the same height', async () => {
    await open(build('h 2/8(bend:A4)+6/5(curl) h 3/5', { chords: 'A7' }));
    expect(value(6, 'target')).toBe('a quarter tone, a curl');
    expect(handle(6, 'target').getAttribute('aria-valuemax')).toBe('2');
    const [high, low] = [board(2), board(6)].map((b) => b.getBoundingClientRect());
    expect(low?.top).toBe(high?.top);
    expect(low?.width).toBe(high?.width);
  });

  it('says how to bend where nothing chosen is bent', async () => {
    await open(build('q 2/8', { chords: 'A7' }));
    expect(place.textContent).toMatch(/^No bent note is chosen\..* press b to bend it\.$/u);
  });

  it('shows a drag as it goes and writes it once it is let go', async () => {
    await open();
    const { note, semitone } = measures(2);
    const end = await drag(2, 1, { x: note / 4, y: semitone });
    expect(value(2, 1)).toBe('after three quarters of the note, a semitone up, 7');
    expect(curve(2)).toEqual(['0 0', '50 100', '100 100']);
    await point('pointerup', end);
    expect(curve(2)).toEqual(['0 0', '75 50', '100 100']);
    expect(curve(3)).toEqual(['0 0', '50 100', '100 100']);
    expect(document.activeElement).toBe(handle(2, 1));
    expect(history.done).toBe(1);
  });

  it('is dragged by the browser’s own mouse', async () => {
    await open();
    const box = board(3);
    const { left, top } = box.getBoundingClientRect();
    const { note } = measures(3);
    const from = middle(handle(3, 1));
    const at = (by: number) => ({ x: from.x - left + by, y: from.y - top });
    await fromOutside(async () => {
      await userEvent.dragAndDrop(box, box, {
        sourcePosition: at(0),
        targetPosition: at(-note / 4),
      });
      await expect.poll(() => curve(3)).toEqual(['0 0', '25 100', '100 100']);
    });
  });

  it('makes another shape of an end that is dragged', async () => {
    await open();
    const { semitone } = measures(2);
    await point('pointerup', await drag(2, 2, { x: 0, y: 2 * semitone }));
    expect(bentNote(2).bend?.shape).toBe('bend-release');
    await point('pointerup', await drag(2, 0, { x: 0, y: -2 * semitone }));
    expect(bentNote(2).bend?.shape).toBe('pre-bend-release');
  });

  it('is made wider at the line of its target', async () => {
    await open();
    const { note, semitone } = measures(2);
    const from = middle(handle(2, 'target'));
    // Beside the points, where only the line is.
    const left = { x: middle(handle(2, 0)).x + note / 8, y: from.y };
    await point('pointerdown', left);
    await point('pointermove', { x: left.x, y: left.y - semitone });
    expect(value(2, 'target')).toBe('a tone and a half, up to ♭2');
    await point('pointerup', { x: left.x, y: left.y - semitone });
    expect(bendSemitones(bentNote(2))).toBe(3);
    expect(bendSemitones(bentNote(3))).toBe(2);
  });

  it('is as before when Escape is pressed in the middle of a drag', async () => {
    await open();
    const { note } = measures(2);
    const end = await drag(2, 1, { x: note / 4, y: 0 });
    expect(value(2, 1)).toMatch(/^after three quarters/u);
    await press('Escape');
    expect(value(2, 1)).toMatch(/^after half the note/u);
    await point('pointermove', { x: end.x + 5, y: end.y });
    await point('pointerup', end);
    expect(curve(2)).toEqual(['0 0', '50 100', '100 100']);
    expect([history.done, done]).toEqual([0, 0]);
  });

  it('takes a new point where the curve is tapped', async () => {
    await open();
    const a = middle(handle(2, 0));
    const b = middle(handle(2, 1));
    const between = { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 };
    await point('pointerdown', between);
    await point('pointerup', between);
    expect(curve(2)).toEqual(['0 0', '25 50', '50 100', '100 100']);
    expect(document.activeElement).toBe(handle(2, 1));
  });

  it('is drawn by keys alone', async () => {
    await open();
    await act(async () => handle(2, 1).focus());
    await press('ArrowLeft', 'ArrowDown');
    expect(value(2, 1)).toBe('after three eighths of the note, three quarters of a tone up');
    await click('Add a point', 2);
    expect(document.activeElement?.getAttribute('aria-label')).toBe('Point 3 of 4');
    expect(curve(2)).toEqual(['0 0', '38 75', '67 75', '100 100']);
    await press('Delete');
    expect(curve(2)).toEqual(['0 0', '38 75', '100 100']);
    expect(document.activeElement).toBe(handle(2, 1));
    await act(async () => handle(2, 'target').focus());
    await press('ArrowDown');
    expect(value(2, 'target')).toBe('a semitone, up to 7');
    // All of it on one note, so one step of undo.
    expect(history.done).toBe(1);
    expect(undo(history, state.phrase)?.phrase).toEqual(DOUBLE_STOP);
    await press('Escape');
    expect(done).toBe(1);
  });

  it('keeps what is drawn on two strings as two steps', async () => {
    await open();
    await act(async () => handle(2, 1).focus());
    await press('ArrowLeft', 'ArrowLeft');
    await act(async () => handle(3, 1).focus());
    await press('ArrowRight');
    expect(history.done).toBe(2);
  });

  it('says beside the drawing why something is not done', async () => {
    await open(build('q 2/8(pre:A4) q 3/5', { chords: 'A7' }));
    await act(async () => handle(2, 0).focus());
    await press('ArrowRight');
    expect(said(2)).toBe('Not done: the first and the last point stay at the ends of the note.');
    await press('Delete');
    expect(said(2)).toBe('Not done: a bend cannot do without its first and last point.');
    await press('ArrowDown');
    expect([said(2), bentNote(2).bend?.shape]).toEqual(['', 'bend']);
    await act(async () => handle(2, 1).focus());
    await press('ArrowDown');
    expect(said(2)).toBe('Not done: the bend never reaches its target.');
    expect(value(2, 1)).toBe('at the end of the note, a whole tone up, R');
    await act(async () => handle(2, 'target').focus());
    await press('ArrowUp', 'ArrowUp', 'ArrowUp');
    expect(said(2)).toBe('Not done: string 2 is bent by two whole tones at most.');
  });

  it('gives a drag up that cannot be, with the reason', async () => {
    await open(build('q 2/8(curl) q 3/5', { chords: 'A7' }));
    const to = middle(handle(2, 1));
    // The end of a curl is let down to where it is fretted.
    await point('pointerup', await drag(2, 1, { x: 0, y: 40 }));
    expect(said(2)).toBe(
      'Not done: a curl rises from where it is fretted and ends a quarter tone up.',
    );
    expect(middle(handle(2, 1))).toEqual(to);
    expect(history.done).toBe(0);
  });

  it('is there only while it is unfolded', async () => {
    root = createRoot(place);
    await act(async () => root.render(<Page phrase={DOUBLE_STOP} folded />));
    const summary = [...place.querySelectorAll('summary')].find(
      (e) => e.textContent === 'Shape of the bend',
    );
    const drawn = () => place.querySelectorAll('.bend-board').length;
    expect(drawn()).toBe(0);
    await fromOutside(async () => {
      summary?.click();
      await expect.poll(drawn).toBe(2);
      summary?.click();
      await expect.poll(drawn).toBe(0);
    });
  });

  it('has handles of 44 px, fits into 320 px, and axe finds nothing', async () => {
    place.style.width = '320px';
    await open();
    for (const h of place.querySelectorAll('.bend-hold')) {
      const box = h.getBoundingClientRect();
      expect(Math.min(box.width, box.height)).toBeGreaterThanOrEqual(44);
    }
    const edge = place.getBoundingClientRect().left + 320;
    expect(board(2).getBoundingClientRect().right).toBeLessThanOrEqual(edge);
    const { violations } = await axe.run(place);
    expect(violations.map((v) => v.id)).toEqual([]);
  });
});
