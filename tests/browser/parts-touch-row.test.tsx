import axe from 'axe-core';
import { act, useState } from 'react';
import { createRoot, type Root } from 'react-dom/client';
import { afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { NO_HISTORY } from '../../src/core/edit/history';
import { runCommand, whyNot } from '../../src/core/edit/run';
import { type EditState, startEditing } from '../../src/core/edit/state';
import { boundTo, COMMANDS } from '../../src/core/edit/table';
import { notesOf } from '../../src/core/phrase/walk';
import '../../src/ui/theme/theme.css';
import '../../src/ui/theme/base.css';
import type { Writer } from '../../src/ui/frame/writing/writer';
import { titleOfRun } from '../../src/ui/shared/command-words';
import { TouchRow } from '../../src/ui/write/parts/touch-row';
import { emptyPhrase } from '../support/edit';

let root: Root;
let state: EditState;
let undone = 0;
const place = document.createElement('div');

beforeAll(() => {
  Object.assign(globalThis, { IS_REACT_ACT_ENVIRONMENT: true });
  document.body.append(place);
});

function Page() {
  const [now, setNow] = useState(() => startEditing(emptyPhrase()));
  const [choosing, setChoosing] = useState(false);
  state = now;
  const writer: Writer = {
    state: now,
    history: { ...NO_HISTORY, done: 1 },
    told: { text: '', refused: false },
    run: (command, value) => {
      const outcome = runCommand(now, command, value);
      if (outcome.kind !== 'not applicable') setNow(outcome.state);
      return outcome;
    },
    take: (make) => make(now),
    why: (command, value) => whyNot(now, command, value),
    undo: () => {
      undone += 1;
    },
    redo: () => undefined,
  };
  return <TouchRow writer={writer} choosing={choosing} setChoosing={setChoosing} />;
}

beforeEach(async () => {
  root = createRoot(place);
  await act(async () => root.render(<Page />));
  const toggle = place.querySelector<HTMLButtonElement>('[aria-expanded]');
  if (toggle?.getAttribute('aria-expanded') === 'false') await act(async () => toggle.click());
});

afterEach(async () => act(async () => root.unmount()));

async function tap(name: string): Promise<void> {
  const all = [...place.querySelectorAll('button')];
  const found = all.find((b) => (b.getAttribute('aria-label') ?? b.textContent) === name);
  if (found === undefined) throw new Error(`${name} is not among the buttons`);
  await act(async () => found.click());
}

const frets = () => notesOf(state.phrase).map(({ note }) => `${note.string}/${note.fret}`);

describe('the touch row', () => {
  it('writes the digit that is tapped, on the string the cursor went to', async () => {
    const down = boundTo('ArrowDown', 'fret');
    if (down === null) throw new Error('ArrowDown does nothing');
    await tap(titleOfRun(down.command, down.value));
    await tap('Write fret 7');
    expect(frets()).toEqual(['4/7']);
    await tap('undo');
    expect(undone).toBe(1);
  });

  it('names what a button does the way the keys in use do', async () => {
    const titles = COMMANDS.map((c) => c.title);
    const names = [...place.querySelectorAll('.touch-keys [aria-label]:is(button)')].map(
      (b) => b.getAttribute('aria-label') ?? '',
    );
    expect(names.length).toBeGreaterThan(20);
    for (const n of names)
      expect(
        titles.some((t) => n.startsWith(t)),
        n,
      ).toBe(true);
  });

  it('has targets of 44 px at least, inside 390 px, and nothing that axe finds', async () => {
    place.style.width = '390px';
    for (const b of place.querySelectorAll('.touch-keys button')) {
      const box = b.getBoundingClientRect();
      expect(Math.min(box.width, box.height), b.textContent ?? '').toBeGreaterThanOrEqual(44);
      expect(box.right - place.getBoundingClientRect().left).toBeLessThanOrEqual(390);
    }
    const { violations } = await axe.run(place);
    expect(violations.map((v) => v.id)).toEqual([]);
  });
});
