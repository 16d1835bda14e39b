import { expect, it } from 'vitest';
import { layForm } from '../../../../src/core/form/lay';
import { standardForm } from '../../../../src/core/form/standard';
import { TICKS_PER_QUARTER as Q } from '../../../../src/core/phrase/types';
import { notesOf } from '../../../../src/core/phrase/walk';
import { proposeSolos } from '../../../../src/core/solo/propose';
import { midiOf } from '../../../../src/core/theory/pitch';
import { checkPhrase } from '../../../../src/core/validity/check-phrase';
import { build } from '../../../support/build';

const BAR = 4 * Q;
const laid = layForm(standardForm('blues')!, { letter: 'A', alter: 0 });
if (!laid.ok) throw new Error('blues');
const form = laid.value;

/** Two eighths lead to the third on one, over one bar of the I chord. */
const LED = build('e 3/4 3/5 q 3/6 2/5 1/5 2/5', {
  ...{ key: 'A', chords: 'A7', pickup: Q, bars: 1, id: 'led' },
});
/** Sounds to the end of its bar. */
const LONG = build('w 2/5', { key: 'A', chords: 'A7', bars: 1, id: 'long' });

const shown = (of: typeof LED, part = '') =>
  notesOf(of).flatMap(({ event, note }) =>
    note.id.startsWith(part) && note.kind === 'pitched'
      ? [{ at: event.onset, until: event.onset + event.duration, midi: midiOf(note.pitch) }]
      : [],
  );

it('a pickup reaches into the bar before, where what stands there gives way; at the beginning it is that of the solo', () => {
  const pins = [
    { start: 0, index: 0, octaves: 0 },
    { start: 3, index: 1, octaves: 0 },
    { start: 4, index: 0, octaves: 0 },
  ];
  const made = proposeSolos(
    { form, phrases: [LED, LONG], options: { fill: false, pins } },
    (n) => ({ id: `solo-${n}`, tempo: form.form.tempo, meta: LED.meta }),
  );
  if (!made.ok) throw new Error(made.problems[0]!.message);
  const { phrase } = made.value[0]!;
  expect(checkPhrase(phrase)).toEqual([]);
  expect(phrase.pickup).toBe(Q);
  expect(phrase.length).toBe(Q + 12 * BAR);
  const own = shown(LED);
  expect(shown(phrase, '1-')).toEqual(own);
  // Bar 5 is on IV: the two eighths lie in bar 4, and every note is the same degree of its chord.
  const there = shown(phrase, '3-');
  expect(there.map((n) => n.at - 4 * BAR)).toEqual(own.map((n) => n.at));
  expect(there.map((n, i) => (n.midi - own[i]!.midi + 120) % 12)).toEqual(own.map(() => 5));
  // What sounds in bar 4 ends where the pickup begins.
  expect(shown(phrase, '2-').map((n) => [n.at, n.until])).toEqual([[Q + 3 * BAR, 4 * BAR]]);
});
