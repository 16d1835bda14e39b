import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { barsMissing } from '../../../../src/core/edit/lane-bars';
import { runCommand } from '../../../../src/core/edit/run';
import { FORM_NAMES, FORMS, laneOfForm } from '../../../../src/core/edit/setup/forms';
import { readSetup } from '../../../../src/core/edit/setup/read-line';
import { startEditing } from '../../../../src/core/edit/state';
import { commandOf } from '../../../../src/core/edit/table';
import type { Phrase } from '../../../../src/core/phrase/types';
import { formatKey, parseKey } from '../../../../src/core/theory/key';
import { checkPhrase } from '../../../../src/core/validity/check-phrase';
import { arbPhrase } from '../../../support/arbitrary';
import { build } from '../../../support/build';
import { emptyPhrase } from '../../../support/edit';

function ask(p: Phrase, id: string, value: unknown) {
  return runCommand(startEditing(p), commandOf(id)!, value);
}

function run(p: Phrase, id: string, value: unknown): { phrase: Phrase; say: string } {
  const outcome = ask(p, id, value);
  if (outcome.kind !== 'done') throw new Error(outcome.because);
  expect(checkPhrase(outcome.state.phrase)).toEqual([]);
  return { phrase: outcome.state.phrase, say: outcome.say };
}

const EMPTY = emptyPhrase({ meta: { ...emptyPhrase().meta, title: '' } });
const setUp = (line: string, p = EMPTY) => run(p, 'setup.line', line).phrase;
const why = (line: string, p = EMPTY) => {
  const outcome = ask(p, 'setup.line', line);
  return outcome.kind === 'done' ? null : outcome.because;
};

/** A phrase as it is spoken of, in one line. */
function told(p: Phrase): string {
  const { meter } = p.bars[0]!;
  const feel = p.feel.kind === 'straight' ? 'straight' : `${p.feel.first}:${p.feel.second}`;
  return [
    formatKey(p.key),
    `${meter.beats}/${meter.beatType}`,
    feel,
    `${p.tempo.unit}=${p.tempo.bpm}`,
    `${p.bars.length} bars`,
    p.chords.map((c) => c.symbol).join(' '),
    p.meta.title,
  ].join('; ');
}

describe('the instrument in the line', () => {
  const strings = (p: Phrase) => p.instrument.tuning.map((t) => t.letter).join('');
  it.each([
    [
      'G blues, open G, capo 2, shuffle 90, G7, "Slide at the Dyke"',
      'DBGDGD',
      2,
      'Slide at the Dyke',
    ],
    ['D drop D 12b Low Water', 'EBGDAD', 0, 'Low Water'],
    ['D Drop D, 90', 'EBGDAD', 0, ''],
    ['D DADGAD capo at fret 5', 'DAGDAD', 5, ''],
    ['D tuned to D A D G A D 4c', 'DAGDAD', 0, ''],
    ['Em half a step down 92', 'EBGDAE', 0, ''],
    ['in E, open E tuning', 'EBGEBE', 0, ''],
    // A title that begins like one of them.
    ['A 12b Open A Gate', 'EBGDAE', 0, 'Open A Gate'],
    ['A standard fare', 'EBGDAE', 0, 'standard fare'],
    ['A capo di tutti', 'EBGDAE', 0, 'capo di tutti'],
  ])('%s', (line, tuning, capo, title) => {
    const p = setUp(line);
    expect([strings(p), p.instrument.capo, p.meta.title]).toEqual([tuning, capo, title]);
  });
  it('is said by itself where there are notes, and what stays is asked', () => {
    expect(why('open G', build('q 3/5'))).toContain('tune it by itself');
    expect(why('capo 2', build('q 3/5'))).toContain('put the capo on by itself');
    expect(why('capo 20')).toContain('a capo stands at fret 1 to 12');
    expect(why('A standard tuning, capo 0', build('q 3/5'))).toContain('there are notes already');
  });
  it('tells how many bars are said where a number of bars looks like a form', () => {
    expect(why('F 3b')).toContain('‘3 bars’ lays out that many');
  });
});

describe('a phrase set up in one line', () => {
  it.each([
    [
      'A 12b 12/8 92 Mill Race',
      'A blues; 12/8; straight; dotted-quarter=92; 12 bars; A7 D7 A7 E7 D7 A7 E7; Mill Race',
    ],
    [
      'Bb blues, shuffle, 12-bar blues, 96, "Eight to Go"',
      'Bb blues; 4/4; 2:1; quarter=96; 12 bars; Bb7 Eb7 Bb7 F7 Eb7 Bb7 F7; Eight to Go',
    ],
    ['Gm {i7 | iv7 | V7 | i7} q=80', 'Gm; 4/4; straight; quarter=80; 4 bars; Gm7 Cm7 D7 Gm7; '],
    ['C 8 bars 3/4', 'C; 3/4; straight; quarter=100; 8 bars; ; '],
    ['4c F sw', 'F; 4/4; 2:1; quarter=100; 4 bars; Gm7 C7 Fmaj7; '],
    // Bars and chords go together; a chord with a number in it needs no braces.
    ['A blues 90 2 bars {A7} Mill', 'A blues; 4/4; straight; quarter=90; 2 bars; A7; Mill'],
    ['A blues 2 bars of A7', 'A blues; 4/4; straight; quarter=100; 2 bars; A7; '],
    ['in the key of A A7 D7 92', 'A; 4/4; straight; quarter=92; 2 bars; A7 D7; '],
    ['Am 3 bars i7 | iv | V7 i7', 'Am; 4/4; straight; quarter=100; 3 bars; Am7 Dm E7 Am7; '],
    ['Bbm7 | Eb7 | Ab Slow One', 'C; 4/4; straight; quarter=100; 3 bars; Bbm7 Eb7 Ab; Slow One'],
    ['E V8 Engine', 'E; 4/4; straight; quarter=100; 1 bars; ; V8 Engine'],
    ['E B52', 'E; 4/4; straight; quarter=100; 1 bars; ; B52'],
    ['E in a hurry', 'E; 4/4; straight; quarter=100; 1 bars; ; in a hurry'],
    // A key in minor keeps it, and has the form in minor.
    ['Am 12b', 'Am; 4/4; straight; quarter=100; 12 bars; Am7 Dm7 Am7 F7 E7 Am7 E7; '],
    // The first word that is none of these begins the title, which may then name anything.
    ['D Minor', 'Dm; 4/4; straight; quarter=100; 1 bars; ; '],
    ['A Minor swing 92 Mill Race', 'Am; 4/4; 2:1; quarter=92; 1 bars; ; Mill Race'],
    ['A Blues for Two', 'A; 4/4; straight; quarter=100; 1 bars; ; Blues for Two'],
    ['E A Minor Thing in 12/8', 'E; 4/4; straight; quarter=100; 1 bars; ; A Minor Thing in 12/8'],
    ['"12 Steps Down" E', 'E; 4/4; straight; quarter=100; 1 bars; ; 12 Steps Down'],
    ['a walk home', 'C; 4/4; straight; quarter=100; 1 bars; ; a walk home'],
  ])('%s', (line, expected) => {
    expect(told(setUp(line))).toBe(expected);
  });

  it('takes 25 keys at most, with the key that asks for it and Enter', () => {
    const line = 'A 12b 12/8 92 Mill Race';
    expect(`S${line}`.length + 1).toBeLessThanOrEqual(25);
    const { phrase } = run(EMPTY, 'setup.line', line);
    const slowly = [
      ['key.rename', 'A blues'],
      ['bar.meter', '12/8'],
      ['key.tempo', 92],
      ['chord.form', 'blues12'],
    ] as const;
    const step = slowly.reduce((p, [id, value]) => run(p, id, value).phrase, EMPTY);
    expect(phrase).toEqual({ ...step, meta: { ...step.meta, title: 'Mill Race' } });
  });

  it('says what cannot be, and changes nothing then', () => {
    expect(why('')).toBe('nothing is said yet. For example: A 12b 12/8 92');
    expect(why('A 13/9')).toMatch(/^13\/9 is none of the metres 2\/4, /u);
    expect(why('A 12x')).toMatch(/^12x is none of the forms 12b \(12-bar blues\), /u);
    expect(why('A 12 bars 999')).toMatch(/^a tempo is from 10 to 500/u);
    expect(why('A "One" "Two"')).toMatch(/^‘"Two"’ comes after the title/u);
    expect(why('A {I7 | H}')).toMatch(/bar 2/u);
    expect(why('A 2 bars I7 | IV7 | V7')).toMatch(/^the chords take 3 bars, and 2 are asked for/u);
    expect(why('C 4/4 100')).toBe('it is set up so already');
  });

  it('leaves notes where they are: the key of a phrase with notes is another matter', () => {
    const p = build('q 3/5 3/7 3/5 3/7');
    expect(why('A 4/4', p)).toMatch(/^there are notes already, in C: /u);
    expect(told(setUp('92 4 bars', p))).toMatch(/quarter=92; 4 bars/u);
  });

  it('reads every key, metre and tempo in any order', () => {
    const keys = fc.constantFrom('C', 'F#m', 'Bb blues', 'Eb', 'C# minor', 'Gb major');
    const meters = fc.constantFrom('2/4', '3/4', '6/8', '12/8', '7/8');
    fc.assert(
      fc.property(
        keys,
        meters,
        fc.integer({ min: 20, max: 400 }),
        fc.nat(5),
        (key, meter, bpm, n) => {
          const parts = [key, meter, String(bpm)];
          const order = [
            [0, 1, 2],
            [0, 2, 1],
            [1, 0, 2],
            [1, 2, 0],
            [2, 0, 1],
            [2, 1, 0],
          ][n]!;
          const read = readSetup(`${order.map((i) => parts[i]).join(', ')} Tin Roof`);
          expect(read.ok && read.value).toMatchObject({
            key: parseKey(key),
            meter,
            tempo: { bpm },
            title: 'Tin Roof',
          });
        },
      ),
    );
  });
});

describe('chords before bars', () => {
  it.each(FORM_NAMES)('%s fits its name in every mode', (name) => {
    const { title } = FORMS[name];
    const bars = /^(\d+)-bar/u.exec(title)?.[1] ?? '4';
    for (const key of ['C', 'Am', 'Eb blues']) {
      const p = { ...EMPTY, key: parseKey(key)! };
      const { phrase, say } = run(p, 'chord.form', name);
      expect(phrase.bars.length).toBe(Number(bars));
      expect(say).toBe(`${title}: chords written, ${Number(bars) - 1} bars added`);
      expect(laneOfForm(name, p.key).split('|').length).toBe(Number(bars));
    }
  });

  it('adds the bars that are missing, of the last metre, and says how many', () => {
    const p = run(build('w 3/5'), 'bar.meter', '3/4').phrase;
    const lane = 'I7 | IV7 | I7 V7 | I7';
    expect(ask(p, 'chord.lane', lane)).toMatchObject({ kind: 'not applicable' });
    expect(barsMissing(p, lane)).toBe(2);
    const { phrase, say } = run(p, 'chord.lane-bars', lane);
    expect(say).toBe('chords written, 2 bars added');
    expect(phrase.bars.map((b) => b.meter.beats)).toEqual([3, 3, 3, 3]);
    expect(phrase.voices).toEqual(p.voices);
  });

  it('adds none where one symbol covers all, and refuses to cut', () => {
    const p = build('w 3/5 | w 3/7');
    expect(run(p, 'chord.lane-bars', 'I7').phrase.bars.length).toBe(2);
    expect(ask(p, 'chord.lane-bars', 'I7 |')).toMatchObject({ kind: 'done' });
    expect(ask(build('w - | w - | w -'), 'chord.lane-bars', 'I7 | V7')).toMatchObject({
      because: 'the lane has 2 bars and the phrase 3 bars',
    });
  });

  it('leaves every note of any phrase where it is', () => {
    fc.assert(
      fc.property(arbPhrase(), fc.integer({ min: 1, max: 6 }), (p, more) => {
        const lane = Array.from(
          { length: p.bars.length + more },
          (_, i) => `I${i % 2 === 0 ? '7' : ''}`,
        );
        const { phrase } = run(p, 'chord.lane-bars', lane.join(' | '));
        expect(phrase.bars.length).toBe(p.bars.length + more);
        expect(phrase.bars.slice(0, p.bars.length)).toEqual(p.bars);
        expect(phrase.voices).toEqual(p.voices);
      }),
      { numRuns: 60 },
    );
  });
});
