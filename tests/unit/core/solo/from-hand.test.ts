import { expect, it } from 'vitest';
import { layForm } from '../../../../src/core/form/lay';
import { standardForm } from '../../../../src/core/form/standard';
import type { Phrase } from '../../../../src/core/phrase/types';
import { notesOf } from '../../../../src/core/phrase/walk';
import { assemble } from '../../../../src/core/solo/assemble';
import { laidPrint, movedAt } from '../../../../src/core/solo/laid';
import { lineOf } from '../../../../src/core/solo/line';
import { layAnew } from '../../../../src/core/solo/part-anew';
import { findPart } from '../../../../src/core/solo/part-now';
import { Placer } from '../../../../src/core/solo/placer';
import { proposeSolos } from '../../../../src/core/solo/propose';
import { build } from '../../../support/build';
import { readSamples } from '../../../support/samples';

const DAY = '2026-01-01T00:00:00.000Z';
const laid = layForm(standardForm('one-chord')!, { letter: 'A', alter: 0 });
if (!laid.ok) throw new Error('one-chord');
const form = laid.value;

const A = { key: 'A', chords: 'A7 | A7' };
const HIGH = build('e 3/14 3/12 4/14 4/12 3/14 3/12 4/14 4/12', { ...A, id: 'high', bars: 1 });
const LOW = build('e 3/2 4/5 4/2 5/4 3/2 4/5 4/2 5/4', { ...A, id: 'low', bars: 1 });
// The same pitches can be had at the fifth and at the tenth fret.
const LINE = build('e 2/5 2/8 1/5 1/8 2/8 2/5 q 2/8', { ...A, id: 'line', bars: 2 });

/** The chorus with one of them in bar 1 and the line in bar 2. */
function after(first: Phrase, tempo = form.form.tempo.bpm) {
  const at = { ...form, form: { ...form.form, tempo: { ...form.form.tempo, bpm: tempo } } };
  const pins = [0, 1].map((index) => ({ start: index, index, octaves: 0 }));
  const made = proposeSolos(
    { form: at, phrases: [first, LINE], options: { fill: false, pins } },
    () => ({
      id: 'solo',
      tempo: at.form.tempo,
      meta: {
        title: 'Solo',
        tags: [],
        created: '2026-01-01T00:00:00.000Z',
        modified: '2026-01-01T00:00:00.000Z',
      },
    }),
  );
  if (!made.ok) throw new Error(made.problems[0]!.message);
  return made.value[0]!;
}

const places = (p: Phrase, part: string) =>
  notesOf(p).flatMap(({ note }) =>
    note.id.startsWith(part) ? [`${note.string}/${note.fret}`] : [],
  );

it('a part lies where the hand comes from the part before', () => {
  const [near, far] = [after(LOW, 200), after(HIGH, 200)];
  expect(places(near.phrase, '2-')).toEqual(places(LINE, ''));
  expect(near.parts[1]!.why.join()).not.toContain('on other strings');
  expect(places(far.phrase, '2-')).not.toEqual(places(LINE, ''));
  expect(Math.min(...places(far.phrase, '2-').map((x) => Number(x.slice(2))))).toBeGreaterThan(8);
  expect(far.parts[1]!.why.join()).toContain('on other strings than its shape');
  // The report tells the places that it has, and that it is no edit of the phrase.
  const told = far.parts[1]!.report.notes.map((n) => `${n.after.string}/${n.after.fret}`);
  expect(told).toEqual(places(far.phrase, '2-'));
  const [, part] = far.phrase.parts!;
  const found = findPart(far.phrase, part!, LINE);
  expect(found.ok && !found.value.edited && laidPrint(found.value.given)).toBe(part!.laid);
});

it('a part that is laid anew lies there, too', () => {
  const { phrase } = after(HIGH, 200);
  const anew = layAnew(phrase, phrase.parts![1]!, LINE);
  expect(anew.ok && places(anew.value, '2-')).toEqual(places(phrase, '2-'));
});

it('a part keeps its octaves rather than its shape; one that was laid by its shape first is known still', () => {
  const slow = layForm(standardForm('slow-blues')!, { letter: 'E', alter: -1 });
  if (!slow.ok) throw new Error('slow-blues');
  const source = readSamples().find((s) => s.phrase.meta.title === 'Lifeboat Sunday')!.phrase;
  const placer = new Placer(slow.value, [source]);
  const placed = placer.at(0, 0, 1);
  if (!placed.ok) throw new Error(placed.problems[0]!.message);
  const [candidate] = placed.value;
  const { tempo } = slow.value.form;
  const lastOf = (octaves: 'kept' | 'free') => {
    const moved = movedAt(tempo, source, candidate!.requests, octaves);
    if (!moved.ok) throw new Error(moved.problems[0]!.message);
    const { phrase } = moved.value;
    const frame = { id: 'solo', tempo, meta: source.meta };
    const whole = assemble(slow.value, [{ candidate: candidate!, phrase }], frame);
    const found = findPart(whole, whole.parts![0]!, source);
    expect(found.ok && [found.value.edited, found.value.octaves]).toEqual([false, octaves]);
    return lineOf(phrase).at(-1)!.midi;
  };
  // Its last note would lie below the open second string.
  expect(lastOf('kept')).toBe(candidate!.sketch.midi.at(-1));
  expect(lastOf('free')).toBe(candidate!.sketch.midi.at(-1)! + 12);
});

it('says of a part in which single notes lie on other strings that it is these alone', () => {
  const aaba = layForm(standardForm('aaba')!, { letter: 'B', alter: -1 });
  if (!aaba.ok) throw new Error('aaba');
  const phrases = readSamples().map((s) => s.phrase);
  const made = proposeSolos({ form: aaba.value, phrases, options: { seed: 2 } }, () => ({
    id: 'solo',
    tempo: aaba.value.form.tempo,
    meta: { title: 'Solo', tags: [], created: DAY, modified: DAY },
  }));
  if (!made.ok) throw new Error(made.problems[0]!.message);
  const { phrase, parts } = made.value[0]!;
  const WORDS = [
    'one note on another string than in its shape, nearer to the hand',
    'two notes on other strings than in its shape, nearer to the hand',
  ];
  const found = parts.flatMap(({ why, report, phrase: source }, i) => {
    const few = WORDS.findIndex((w) => why.includes(w)) + 1;
    if (few === 0) return [];
    expect(report.general.map((g) => g.text)).toContain(WORDS[few - 1]);
    const strings = new Map(notesOf(source).map(({ note }) => [note.id, note.string]));
    const mark = `${i + 1}-`;
    const off = notesOf(phrase).filter(({ note }) => {
      const was = note.id.startsWith(mark) && strings.get(note.id.slice(mark.length));
      return was !== false && was !== note.string;
    });
    expect(off.length).toBe(few);
    return off;
  });
  expect(found.length).toBeGreaterThan(0);
});
