import { readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { movePhrase } from '../../../src/core/move/move';
import { formatProblem } from '../../../src/core/result';
import { parseChord } from '../../../src/core/theory/chord';
import { checkPhrase } from '../../../src/core/validity/check-phrase';
import { changedNotes, writeMoveReport } from '../../../src/io/text/move-report';
import { writeTextTab, writeTextTabs } from '../../../src/io/text-tab/write/write-text-tab';
import { build } from '../../support/build';

/**
 * One file a case, looked through by a person. A single case is written anew with
 * GOLDEN_WRITE=name, then read before it is committed.
 */
const HERE = dirname(fileURLToPath(import.meta.url));

function expectGolden(name: string, text: string): void {
  const path = join(HERE, `${name}.txt`);
  if (process.env.GOLDEN_WRITE === name) writeFileSync(path, text);
  expect(text).toBe(readFileSync(path, 'utf8'));
}

const plain = { width: 80, degrees: 'chord' } as const;

/** Bends of both notes, slides of all kinds, legato, in a shuffle with pickup and triplets. */
const STEPS = build(
  'e 2/6(ghost) | e 3/5(bend:D4)+2/5(bend:F4) - q 2/3(vib) e3 1/6 1/3(p) 2/3 e 3/3 3/4(h) | q. 4/5@pm e 4/3@pm q 4/3(vib:wide) 3/5(in:-1)+2/6(in:-1)',
  {
    chords: 'G7 | C7',
    key: 'G blues',
    pickup: 5_040,
    title: 'Steps to the quay',
    feel: { kind: 'swing', unit: 'eighth', first: 2, second: 1 },
    marks: [
      { kind: 'dynamic', onset: 5_040, value: 'mf' },
      { kind: 'words', onset: 15_120, text: 'lean on it' },
    ],
  },
);

const ALL_SIGNS = build(
  [
    'q 3/7(pre:E4) 3/7(prerel:E4) 3/7(rel:E4) 3/7(curl) |',
    'q 2/5(tap) 2/8(s) 2/5(S) 2/8(in:below) |',
    'q 1/12(nat:12) 1/5(art:12) 1/7(pinch:24) 1/5(dip:2) |',
    'q 4/7(ring,f:3,pk:i) 4/5(tr:A3) 4/9(out:down) 4/x7@rake:6.5 |',
    'e 3/5@down,acc 3/7@up,stac q 5/5+4/7+3/6@sdown,ten 5/5+4/7+3/6@sup 3/9@trem3,g:3/5;3/7~h |',
    's5 3/5 3/5 3/5 3/5 3/5 q 3/5 q. 3/5 e -',
  ].join(' '),
  { chords: 'A | A | A | A | A | A', key: 'A', title: 'Every sign' },
);

/** A drone under a line, in 6/8 with a change of chord under the held note. */
const TWO_VOICES = build('e 1/0 1/2 1/3 q 1/5 e 1/7 | q. 1/5 q 1/3 e 1/0', {
  chords: 'Em D | G NC',
  key: 'Em',
  meter: '6/8',
  second: 'w. 6/0',
  title: 'Low water',
});

const UKULELE = build('q 1/3 2/1 2/3(h) 3/2 | e 1/7+2/8 1/5 h. 4/2', {
  chords: 'C | F#m7b5 B7',
  key: 'C',
  title: 'Four strings',
  instrument: {
    name: 'Ukulele',
    tuning: [
      { letter: 'A', alter: 0, octave: 4 },
      { letter: 'E', alter: 0, octave: 4 },
      { letter: 'C', alter: 0, octave: 4 },
      { letter: 'G', alter: 0, octave: 4 },
    ],
    frets: 18,
    scaleLength: 380,
    capo: 2,
    clef: 'treble',
  },
});

describe('text tab, one file a case', () => {
  it('all phrases are valid', () => {
    for (const p of [STEPS, TWO_VOICES, ALL_SIGNS, UKULELE]) {
      expect(checkPhrase(p).map(formatProblem)).toEqual([]);
    }
  });

  it('bends, slides, legato and spans, with chord degrees', () => {
    expectGolden('steps', writeTextTab(STEPS, plain));
  });

  it('the same in ASCII with key degrees on a narrow page', () => {
    expectGolden('steps-ascii', writeTextTab(STEPS, { width: 48, degrees: 'key', ascii: true }));
  });

  it('every sign there is', () => {
    expectGolden('signs', writeTextTab(ALL_SIGNS, { ...plain, width: 100 }));
  });

  it('two voices in compound meter, degrees of the held note in the new chord', () => {
    expectGolden('two-voices', writeTextTab(TWO_VOICES, plain));
  });

  it('a re-entrant tuning with a capo', () => {
    expectGolden('ukulele', writeTextTab(UKULELE, plain));
  });

  it('before and after a move with its report', () => {
    const chord = parseChord('Cmaj7');
    if (!chord.ok) throw new Error('Cmaj7');
    const moved = movePhrase(STEPS, { to: { kind: 'chord', chord: chord.value } });
    if (!moved.ok) throw new Error(moved.problems.map(formatProblem).join());
    const { phrase, report } = moved.value;
    const tab = writeTextTabs(
      [
        { phrase: STEPS, caption: 'before' },
        { phrase, caption: 'after', marks: changedNotes(report) },
      ],
      { ...plain, markLegend: '*  changed' },
    );
    expectGolden('move', `${tab}\n${writeMoveReport(STEPS, report, { width: 80 })}`);
    // Beats in words, where there is room for them.
    expect(writeMoveReport(STEPS, report, { width: 120 })).toMatch(
      /^1 {4}3, second triplet eighth {2}/mu,
    );
  });
});
