import axe from 'axe-core';
import { act, useState } from 'react';
import { createRoot, type Root } from 'react-dom/client';
import { afterEach, beforeAll, describe, expect, it } from 'vitest';
import { NO_HISTORY } from '../../src/core/edit/history';
import { runCommand, whyNot } from '../../src/core/edit/run';
import { type EditState, startEditing } from '../../src/core/edit/state';
import { notesOf } from '../../src/core/phrase/walk';
import '../../src/ui/theme/theme.css';
import '../../src/ui/theme/base.css';
import type { Writer } from '../../src/ui/frame/writing/writer';
import { PlayToFind } from '../../src/ui/library/play-to-find';
import { MidiIn } from '../../src/ui/write/parts/midi-in';
import { emptyPhrase } from '../support/edit';

/** An instrument that is played by the test; there is no hardware here. */
class FakeInput extends EventTarget {
  readonly id = 'fake';
  readonly name = 'Test Guitar';
  readonly state = 'connected';

  play(...bytes: readonly number[]): void {
    this.dispatchEvent(Object.assign(new Event('midimessage'), { data: Uint8Array.from(bytes) }));
  }
}

const input = new FakeInput();
const access = Object.assign(new EventTarget(), { inputs: new Map([['fake', input]]) });
const place = document.createElement('div');
let root: Root;
let state: EditState;
let current: EditState = startEditing(emptyPhrase());

beforeAll(() => {
  Object.assign(globalThis, { IS_REACT_ACT_ENVIRONMENT: true });
  document.body.append(place);
});

function Page() {
  const [now, setNow] = useState(current);
  state = now;
  const writer: Writer = {
    state: now,
    history: NO_HISTORY,
    told: { text: '', refused: false },
    run: (command, value) => {
      const outcome = runCommand(current, command, value);
      if (outcome.kind === 'done') {
        current = outcome.state;
        setNow(outcome.state);
      }
      return outcome;
    },
    take: (make) => make(now),
    why: (command, value) => whyNot(now, command, value),
    undo: () => undefined,
    redo: () => undefined,
  };
  return <MidiIn writer={writer} />;
}

async function show(midi: unknown): Promise<void> {
  Object.defineProperty(navigator, 'requestMIDIAccess', { value: midi, configurable: true });
  current = startEditing(emptyPhrase());
  root = createRoot(place);
  await act(async () => root.render(<Page />));
}

async function connect(): Promise<void> {
  await act(async () => place.querySelector<HTMLButtonElement>('button')!.click());
}

const rest = () => act(async () => new Promise((resolve) => setTimeout(resolve, 120)));

afterEach(async () => act(async () => root.unmount()));

describe('a MIDI instrument', () => {
  it('is asked for only when it is wanted, and writes what is struck together', async () => {
    let asked = 0;
    await show(() => {
      asked += 1;
      return Promise.resolve(access);
    });
    expect(asked).toBe(0);
    await connect();
    expect(asked).toBe(1);
    expect(place.textContent).toContain('Listening to Test Guitar');
    const { violations } = await axe.run(place);
    expect(violations.map((v) => v.id)).toEqual([]);
    input.play(0x90, 60, 90, 64, 80);
    await rest();
    input.play(60, 0, 64, 0, 67, 90);
    await rest();
    const told = notesOf(state.phrase).map(
      ({ onset, note }) => `${onset} ${note.string}/${note.fret}`,
    );
    expect(told).toEqual(['0 2/5', '0 3/5', '5040 2/8']);
  });

  it('that sends a channel a string is written on its strings', async () => {
    await show(() => Promise.resolve(access));
    await connect();
    const select = place.querySelector('select')!;
    await act(async () => {
      select.value = 'one channel a string';
      select.dispatchEvent(new Event('change', { bubbles: true }));
    });
    input.play(0x93, 60, 90);
    await rest();
    expect(notesOf(state.phrase).map(({ note }) => `${note.string}/${note.fret}`)).toEqual([
      '4/10',
    ]);
  });

  it('that is not allowed, or not known to the browser, is told', async () => {
    await show(() => Promise.reject(new Error('no')));
    await connect();
    expect(place.querySelector('[role=alert]')?.textContent).toContain('did not allow it');
    await act(async () => root.unmount());
    await show(undefined);
    expect(place.textContent).toContain('cannot hear MIDI instruments');
  });

  it('asks for what is played on it, on the neck that is chosen', async () => {
    Object.defineProperty(navigator, 'requestMIDIAccess', {
      value: () => Promise.resolve(access),
      configurable: true,
    });
    const asked: string[] = [];
    root = createRoot(place);
    await act(async () => root.render(<PlayToFind question="" onAsk={(q) => asked.push(q)} />));
    const kind = place.querySelector('select')!;
    await act(async () => {
      kind.value = 'bass4';
      kind.dispatchEvent(new Event('change', { bubbles: true }));
    });
    expect(place.querySelector('[role=group]')!.getAttribute('aria-label')).toBe(
      'Neck of a bass with four strings',
    );
    expect(place.querySelectorAll('[data-place$=":0"]').length).toBe(4);
    const listen = [...place.querySelectorAll('button')].find((b) =>
      b.textContent!.startsWith('Listen to MIDI'),
    )!;
    await act(async () => listen.click());
    // D2, then F2 over D2, of which the highest counts; the guitar's E4 lies beyond a bass.
    input.play(0x90, 38, 90);
    await rest();
    input.play(0x90, 38, 90, 41, 90);
    await rest();
    expect(place.querySelector<HTMLInputElement>('input[type=text]')!.value).toBe('3:5 2:3');
    expect(asked.at(-1)).toBe('intervals:+3');
    input.play(0x90, 100, 90);
    await rest();
    expect(place.querySelector('[role=alert]')!.textContent).toBe(
      'That note does not lie on a bass with four strings.',
    );
    expect(asked.at(-1)).toBe('intervals:+3');
    const { violations } = await axe.run(place);
    expect(violations.map((v) => v.id)).toEqual([]);
  });
});
