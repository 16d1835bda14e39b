import axe from 'axe-core';
import { act, useState } from 'react';
import { createRoot, type Root } from 'react-dom/client';
import { afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { NO_HISTORY } from '../../src/core/edit/history';
import { runCommand, whyNot } from '../../src/core/edit/run';
import { type EditState, startEditing } from '../../src/core/edit/state';
import { STANDARD_GUITAR } from '../../src/core/phrase/instrument';
import type { Instrument } from '../../src/core/phrase/types';
import { notesOf } from '../../src/core/phrase/walk';
import { canonicalSymbol } from '../../src/core/theory/chord';
import '../../src/ui/theme/theme.css';
import '../../src/ui/theme/base.css';
import type { Writer } from '../../src/ui/frame/writing/writer';
import { Neck } from '../../src/ui/write/parts/neck';
import { emptyPhrase } from '../support/edit';

let root: Root;
let state: EditState;
let done = 0;
const place = document.createElement('div');

beforeAll(() => {
  Object.assign(globalThis, { IS_REACT_ACT_ENVIRONMENT: true });
  document.body.append(place);
});

beforeEach(() => {
  localStorage.clear();
  done = 0;
  place.style.width = '390px';
});

afterEach(async () => act(async () => root.unmount()));

const onDone = () => {
  done += 1;
};

function Page({ instrument }: { readonly instrument: Instrument }) {
  const [now, setNow] = useState(() => startEditing(overD7(instrument)));
  state = now;
  const writer: Writer = {
    state: now,
    history: NO_HISTORY,
    told: { text: '', refused: false },
    run: (command, value) => {
      const outcome = runCommand(now, command, value);
      if (outcome.kind !== 'not applicable') setNow(outcome.state);
      return outcome;
    },
    take: (make) => make(now),
    why: (command, value) => whyNot(now, command, value),
    undo: () => undefined,
    redo: () => undefined,
  };
  return <Neck writer={writer} onDone={onDone} />;
}

function overD7(instrument: Instrument) {
  const symbol = canonicalSymbol('D7');
  if (!symbol.ok) throw new Error('D7 is a chord');
  return emptyPhrase({ instrument, chords: [{ onset: 0, symbol: symbol.value }] });
}

async function open(instrument: Instrument = STANDARD_GUITAR): Promise<void> {
  root = createRoot(place);
  await act(async () => root.render(<Page instrument={instrument} />));
  const toggle = place.querySelector<HTMLButtonElement>('[aria-expanded="false"]');
  if (toggle !== null) await act(async () => toggle.click());
}

function at(string: number, fret: number): HTMLButtonElement {
  const found = place.querySelector<HTMLButtonElement>(`[data-place="${string}/${fret}"]`);
  if (found === null) throw new Error(`there is no place ${string}/${fret}`);
  return found;
}

const nameOf = (string: number, fret: number) => at(string, fret).getAttribute('aria-label');

/** A click that a pointer makes has a count; one that a key makes has none. */
const tap = (string: number, fret: number) =>
  act(async () => {
    at(string, fret).dispatchEvent(new MouseEvent('click', { bubbles: true, detail: 1 }));
  });

const press = (key: string) =>
  act(async () => {
    document.activeElement?.dispatchEvent(new KeyboardEvent('keydown', { key, bubbles: true }));
  });

const choose = (label: string) =>
  act(async () => {
    const labels = [...place.querySelectorAll('label')];
    const found = labels.find((l) => l.textContent === label);
    if (found === undefined) throw new Error(`there is no choice ${label}`);
    found.click();
  });

const written = () =>
  notesOf(state.phrase).map((n) => `${n.onset} ${n.note.string}/${n.note.fret}`);

describe('the neck', () => {
  it('names each place by string, fret, note and degree', async () => {
    await open();
    // B string: B C C♯ D D♯ E F F♯; over D7 the major third.
    expect(nameOf(2, 7)).toBe('string 2, fret 7: F♯, 3 of D7');
    // The chord's own ♭7 is C, not B♯.
    expect(nameOf(5, 3)).toBe('string 5, fret 3: C, ♭7 of D7');
    expect(nameOf(4, 0)).toBe('string 4, open: D, R of D7');
    expect(place.querySelectorAll('[data-place]')).toHaveLength(6 * 23);
  });

  it('counts frets from the capo (N2)', async () => {
    await open({ ...STANDARD_GUITAR, capo: 2 });
    // Two semitones above B is C♯.
    expect(nameOf(2, 0)).toBe('string 2, open: C♯, 7 of D7');
    expect(place.querySelector('[data-place="1/20"]')).not.toBeNull();
    expect(place.querySelector('[data-place="1/21"]')).toBeNull();
  });

  it('writes places one after the other, or together', async () => {
    await open();
    await tap(2, 7);
    await tap(3, 9);
    expect(written()).toEqual(['0 2/7', '5040 3/9']);
    await choose('together');
    await tap(1, 8);
    await tap(4, 10);
    expect(written()).toEqual(['0 2/7', '5040 3/9', '10080 1/8', '10080 4/10']);
    expect(done).toBe(4);
  });

  it('shows the notes of the moment, and more quietly the others of the bar', async () => {
    await open();
    await tap(2, 7);
    await choose('together');
    await tap(5, 3);
    const texts = (c: string) =>
      [...place.querySelectorAll(`.${c} text`)].map((t) => t.textContent);
    expect(texts('neck-now')).toEqual(['♭7']);
    expect(texts('neck-other')).toEqual(['3']);
    expect(nameOf(5, 3)).toBe('string 5, fret 3: C, ♭7 of D7, played here');
    expect(nameOf(2, 7)).toBe('string 2, fret 7: F♯, 3 of D7, in this bar');
  });

  it('is one stop for Tab, with arrow keys inside; a key writes and stays', async () => {
    await open();
    const stops = () =>
      [...place.querySelectorAll<HTMLElement>('[data-place][tabindex="0"]')].map(
        (b) => b.dataset.place,
      );
    // The cursor's string, where the hand is.
    expect(stops()).toEqual(['3/5']);
    at(3, 5).focus();
    await press('ArrowRight');
    await press('ArrowUp');
    expect(stops()).toEqual(['2/6']);
    expect(document.activeElement).toBe(at(2, 6));
    await act(async () => at(2, 6).click());
    expect(written()).toEqual(['0 2/6']);
    expect(document.activeElement).toBe(at(2, 6));
    expect(done).toBe(0);
    await press('Home');
    await press('ArrowLeft');
    expect(document.activeElement).toBe(at(2, 0));
    await press('End');
    expect(document.activeElement).toBe(at(2, 22));
  });

  it('has its wires at their true places (N1)', async () => {
    await open();
    const x = (fret: number) => at(1, fret).getBoundingClientRect().right;
    const nut = at(1, 0).getBoundingClientRect().right;
    // Half the string to the 12th fret; 1 − 2^(−5/12) = 0.25085 of it to the 5th.
    expect((x(5) - nut) / (x(12) - nut)).toBeCloseTo(0.25085 / 0.5, 3);
  });

  it('is mirrored for the left hand, arrow keys too, and stays so', async () => {
    await open();
    await choose('Left-handed');
    const middle = (fret: number) => at(3, fret).getBoundingClientRect().left;
    expect(middle(5)).toBeGreaterThan(middle(6));
    // The drawing has the hand where the buttons of its frets are.
    const hand = place.querySelector('.neck-hand path')!.getBoundingClientRect();
    const fret = at(3, 5).getBoundingClientRect();
    expect(hand.left).toBeGreaterThan(fret.left);
    expect(hand.right).toBeLessThan(fret.right);
    // Where the whole hand has no room, the index finger's fret is beside the names of the strings.
    const name = place.querySelector('.neck-name')!.getBoundingClientRect();
    expect(Math.abs(fret.right - name.left)).toBeLessThan(2);
    at(3, 5).focus();
    await press('ArrowRight');
    expect(document.activeElement).toBe(at(3, 4));
    await act(async () => root.unmount());
    await open();
    expect(middle(5)).toBeGreaterThan(middle(6));
  });

  it('keeps the hand in sight', async () => {
    await open();
    const seen = (fret: number) => {
      const box = place.querySelector('.neck-scroll')!.getBoundingClientRect();
      const { left, right } = at(1, fret).getBoundingClientRect();
      return left >= box.left && right <= box.right;
    };
    expect(seen(6)).toBe(true);
    await tap(1, 20);
    // The little finger's place is the hand's last.
    expect(state.pen.hand).toBe(17);
    for (const fret of [17, 18, 19, 20]) expect(seen(fret), `fret ${fret}`).toBe(true);
  });

  it('has targets of 44 px, and nothing that axe finds', async () => {
    await open();
    await tap(2, 7);
    for (const b of place.querySelectorAll('[data-place]')) {
      const { width, height } = b.getBoundingClientRect();
      expect(Math.min(width, height), b.getAttribute('aria-label') ?? '').toBeGreaterThan(43.9);
    }
    const { violations } = await axe.run(place);
    expect(violations.map((v) => `${v.id}: ${v.nodes[0]?.html}`)).toEqual([]);
  });
});
