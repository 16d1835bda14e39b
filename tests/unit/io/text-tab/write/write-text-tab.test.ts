import { describe, expect, it } from 'vitest';
import type { Phrase } from '../../../../../src/core/phrase/types';
import {
  layTextTabs,
  type TextTabStyle,
  writeTextTab,
  writeTextTabs,
} from '../../../../../src/io/text-tab/write/write-text-tab';
import { build } from '../../../../support/build';

const STYLE: TextTabStyle = { width: 80, degrees: 'chord' };

/** The row with this label in the first system, without the label. */
function row(p: Phrase, label: string, style: Partial<TextTabStyle> = {}): string {
  const { lines } = layTextTabs([{ phrase: p }], { ...STYLE, ...style });
  return lines.find((l) => l.trimStart().startsWith(label))?.replace(/^ *\S+ +/u, '') ?? '';
}

describe('time', () => {
  it('counts a pickup from its end (T2)', () => {
    const p = build('e 3/5 | q 3/7 3/7 3/7 3/7', { pickup: 5_040 });
    expect(row(p, 'count')).toBe('&      1     2     3     4');
    expect(row(p, 'bar')).toBe('0 4/4  1');
  });

  it('counts sixteenths as e & a, and dots what has no name', () => {
    const p = build('s 3/5 3/6 3/7 3/8 e3 3/5 3/6 3/7 h -');
    expect(row(p, 'count')).toBe('1 e & a   2 . .  3     4');
  });

  it('counts dotted beats in compound meter (T2)', () => {
    const p = build('e 3/5 3/6 3/7 q. 3/9', { meter: '6/8' });
    expect(row(p, 'count')).toBe('1  .  .  2');
  });

  it('writes values with dots, rests, ties and tuplets', () => {
    const p = build('q. 3/5 h 3/7 e - | e3 3/5 - 3/5 h. 3/7', { chords: 'C | C' });
    // What crosses the middle of the bar off its beginning is split there and tied.
    expect(row(p, 'value')).toBe('q.       e +q.       re   3[e re e] q    +h');
  });

  it('gives longer notes more room', () => {
    const p = build('q 3/5 3/7 h 3/8');
    expect(row(p, 'G3')).toBe('|-5-----7-----8-----------||');
  });

  it('shows meters where they change and endings over their bars', () => {
    const base = build('q 3/5 3/5 3/5 3/5 | 3/7 3/7 3/7 3/7 | 3/8 3/8 3/8 3/8');
    const four = { beats: 4, beatType: 4 } as const;
    const p: Phrase = {
      ...base,
      bars: [
        { meter: four, repeatStart: true },
        { meter: four, ending: [1, 2], repeatEnd: 3 },
        { meter: four, ending: [3] },
      ],
    };
    expect(row(p, 'bar', { width: 100 })).toMatch(/^1 4\/4 +2 \[1,2\. ×3 +3 \[3\.$/u);
    expect(row(p, 'G3', { width: 100 })).toMatch(/^\|:-5[-5]+\|-7[-7]+:\|-8[-8]+\|\|$/u);
  });
});

describe('breaking lines', () => {
  const LONG = build(
    `s ${Array.from({ length: 16 }, (_, i) => `3/${i % 2 === 0 ? 12 : 14}`).join(' ')}`,
    { chords: 'G7' },
  );

  it('breaks a bar that is too long at a beat and says that it goes on', () => {
    const { lines } = layTextTabs([{ phrase: LONG }], { ...STYLE, width: 40 });
    expect(lines.filter((l) => l.includes('G3'))).toEqual([
      '    G3 |-12-14-12-14-12-14-12-14--',
      '    G3 --12-14-12-14-12-14-12-14-||',
    ]);
    expect(lines.filter((l) => l.startsWith('bar'))).toEqual(['bar    1 4/4', 'bar    (1)']);
  });

  it('keeps bars whole where they fit', () => {
    const p = build('q 3/5 3/5 3/5 3/5 | 3/7 3/7 3/7 3/7 | 3/8 3/8 3/8 3/8');
    const { lines } = layTextTabs([{ phrase: p }], { ...STYLE, width: 60 });
    expect(lines.filter((l) => l.includes('G3'))).toEqual([
      '    G3 |-5-----5-----5-----5-----|-7-----7-----7-----7-----|',
      '    G3 |-8-----8-----8-----8-----||',
    ]);
  });

  it('goes on with a palm mute in the next line', () => {
    const p = build('q 3/5@pm 3/5@pm 3/5@pm 3/5@pm | 3/7@pm 3/7@pm 3/7 3/7');
    const { lines } = layTextTabs([{ phrase: p }], { ...STYLE, width: 40 });
    expect(lines.filter((l) => l.includes('PM-'))).toEqual([
      '         PM----------------|',
      '         PM----|',
    ]);
  });

  it('puts words that do not fit beside each other in lines of their own', () => {
    const p = build('q 3/5 3/5 3/5 3/5', {
      marks: [
        { kind: 'words', onset: 0, text: 'as if it were late' },
        { kind: 'words', onset: 10_080, text: 'and then not' },
      ],
    });
    const { lines } = layTextTabs([{ phrase: p }], STYLE);
    expect(lines[0]).toBe('         as if it were late');
    expect(lines[1]).toBe('               and then not');
  });

  it('wraps words that are longer than the page', () => {
    const text = 'very '.repeat(20).trim();
    const p = build('w 3/5', { marks: [{ kind: 'words', onset: 0, text }] });
    const { lines } = layTextTabs([{ phrase: p }], { ...STYLE, width: 40 });
    expect(lines.join(' ').match(/very/gu)).toHaveLength(20);
    for (const l of lines) expect(l.length).toBeLessThanOrEqual(40);
  });
});

describe('notes', () => {
  it('sets a plucked grace off from its note, and ties a legato one to it', () => {
    const p = build('q 3/7@g:3/5 3/7(h)@g:3/5 h -');
    expect(row(p, 'G3')).toBe('|-g5-7--g5h7-----------------||');
  });

  it('lets graces of a double stop end in the same column', () => {
    const p = build('q 3/7(s)+2/12@g:3/5 h. -');
    expect(row(p, 'G3')).toMatch(/^\|-g5-?\/7-/u);
    const { places } = layTextTabs([{ phrase: p }], STYLE);
    const columns = [...places[0]!.values()].map((x) => x.column);
    expect(columns).toHaveLength(2);
    expect(columns[0]).toBe(columns[1]);
  });

  it('marks a slide by its direction', () => {
    const p = build('q 3/5 3/9(s) 3/4(s) 3/6(S)');
    expect(row(p, 'G3')).toBe('|-5----/9----\\4---S/6-----||');
  });

  it('shows start and target of a bend, and the anticipated chord', () => {
    const bent = build('h 2/13(bend:D5) q. - e 3/7', { chords: 'D7 | Bb7', bars: 2 });
    expect(row(bent, 'degree')).toMatch(/^♭7→R /u);
    // D2's check: D on the last eighth before B♭7, tied over, is 3 of B♭7.
    const early = build('h. - e - 3/7 | h. -', { chords: 'F7 | Bb7' });
    const held: Phrase = {
      ...early,
      voices: [
        {
          ...early.voices[0],
          events: early.voices[0].events.map((e) => ({ ...e, duration: 10_080 })),
        },
      ],
    };
    expect(row(held, 'degree')).toBe('3^');
  });

  it('has no degrees when they are off, and none without a chord', () => {
    const p = build('q 3/5 3/7 3/8 3/9', { chords: 'NC' });
    const off = layTextTabs([{ phrase: p }], { width: 80, degrees: 'off' });
    expect(off.lines.some((l) => /^(degree|in key)/u.test(l))).toBe(false);
    expect(row(p, 'degree')).toBe('');
    expect(row(p, 'chord')).toBe('N.C.');
  });

  it('explains the signs in use and no others', () => {
    const text = writeTextTab(build('q 3/5 3/7(h) h -'), STYLE);
    expect(text).toContain('h  hammer-on');
    expect(text).not.toContain('pull-off');
  });
});

describe('several phrases under each other', () => {
  const one = build('q 3/5 3/7 3/8 3/9', { chords: 'C' });
  const high = build('q 3/15 3/17 3/18 3/19', { chords: 'Bb' });

  it('have their moments in the same columns', () => {
    const { lines } = layTextTabs([{ phrase: one, caption: 'before' }, { phrase: high }], STYLE);
    expect(lines.filter((l) => l.includes('G3'))).toEqual([
      '    G3 |-5-----7-----8-----9-----||',
      '    G3 |-15----17----18----19----||',
    ]);
  });

  it('carry the marks of the caller', () => {
    const { lines } = layTextTabs([{ phrase: one, marks: new Map([['n2', '*']]) }], STYLE);
    expect(lines.find((l) => l.includes('G3'))).toBe('    G3 |-5-----7*----8-----9-----||');
  });

  it('must have the same bars', () => {
    const longer = build('q 3/5 3/7 3/8 3/9 | w 3/5');
    expect(() => writeTextTabs([{ phrase: one }, { phrase: longer }], STYLE)).toThrow(RangeError);
  });
});

describe('the header', () => {
  it('names title, key, feel and capo', () => {
    const p = build('w 3/5', {
      key: 'Bb blues',
      title: 'A title',
      feel: { kind: 'swing', unit: '16th', first: 3, second: 2 },
      instrument: { capo: 3 },
      meta: { styleOf: 'a ferry band', notes: 'Slowly.\n\nThen less slowly.' },
    });
    const lines = writeTextTab(p, STYLE).split('\n');
    expect(lines.slice(0, 3)).toEqual([
      'A title',
      'in the style of a ferry band',
      'B♭ blues, quarter = 100, swung 16ths 3:2',
    ]);
    expect(lines[3]).toContain('capo 3');
    expect(lines.slice(-4, -1)).toEqual(['Slowly.', '', 'Then less slowly.']);
  });

  it('wraps a long title', () => {
    const p = build('w 3/5', { title: 'word '.repeat(30).trim() });
    for (const l of writeTextTab(p, STYLE).split('\n')) expect(l.length).toBeLessThanOrEqual(80);
  });
});
