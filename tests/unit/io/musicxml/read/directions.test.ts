import { describe, expect, it } from 'vitest';
import type { Tempo } from '../../../../../src/core/phrase/types';
import { readMusicXml } from '../../../../../src/io/musicxml/read/read-musicxml';
import { attributes, imported, n, score } from '../../../../support/score-text';

/*
 * Tempo, feel, dynamics, words and the head of plain files. Sources: W3C MusicXML 4.0 reference
 * (metronome, sound, swing, dynamics, words, work-title, movement-title, creator, rights).
 */

const direction = (types: string, rest = '') =>
  `<direction><direction-type>${types}</direction-type>${rest}</direction>`;
const metronome = (unit: string, perMinute: string, dots = 0) =>
  `<metronome><beat-unit>${unit}</beat-unit>${'<beat-unit-dot/>'.repeat(dots)}<per-minute>${perMinute}</per-minute></metronome>`;
const file = (before: string, after = '') =>
  imported(score([attributes() + before + n('E4', 4) + after + n('F4', 4)]));

describe('tempo', () => {
  it.each<[string, Tempo]>([
    [direction(metronome('quarter', '96')), { bpm: 96, unit: 'quarter' }],
    [direction(metronome('quarter', '60', 1)), { bpm: 60, unit: 'dotted-quarter' }],
    [direction(metronome('half', 'ca. 72')), { bpm: 72, unit: 'half' }],
    [direction(metronome('eighth', '132.5')), { bpm: 132.5, unit: 'eighth' }],
    [direction(metronome('16th', '240')), { bpm: 60, unit: 'quarter' }],
    [direction(metronome('half', '40', 1)), { bpm: 120, unit: 'quarter' }],
    ['<sound tempo="88"/>', { bpm: 88, unit: 'quarter' }],
    [
      direction(metronome('quarter', '80', 1), '<sound tempo="120"/>'),
      { bpm: 80, unit: 'dotted-quarter' },
    ],
    ['<sound tempo="4"/>', { bpm: 10, unit: 'quarter' }],
  ])('%s', (text, tempo) => {
    expect(file(text).phrase.tempo).toEqual(tempo);
  });

  it('is assumed where none is named; later ones and unreadable ones are listed', () => {
    const none = file('');
    expect(none.phrase.tempo).toEqual({ bpm: 120, unit: 'quarter' });
    expect(none.listed.join()).toContain('names no tempo');
    const later = file('<sound tempo="88"/>', '<sound tempo="99"/>');
    expect(later.phrase.tempo.bpm).toBe(88);
    expect(later.listed.join()).toContain('bar 1, beat 3: a change of tempo is not kept');
    expect(file(direction(metronome('quarter', 'quick'))).listed.join()).toContain(
      'a tempo without a number',
    );
  });
});

describe('feel (T3)', () => {
  const swing = (inside: string) => `<sound><swing>${inside}</swing></sound>`;
  it.each([
    [
      swing('<first>2</first><second>1</second>'),
      { kind: 'swing', unit: 'eighth', first: 2, second: 1 },
    ],
    [
      swing('<first>6</first><second>4</second><swing-type>16th</swing-type>'),
      { kind: 'swing', unit: '16th', first: 3, second: 2 },
    ],
    [swing('<straight/>'), { kind: 'straight' }],
    [swing('<first>1</first><second>1</second>'), { kind: 'straight' }],
    [swing('<first>0</first><second>1</second>'), { kind: 'straight' }],
    ['', { kind: 'straight' }],
  ])('%s', (text, feel) => {
    expect(file(text).phrase.feel).toEqual(feel);
  });
});

describe('a feel that is shown without <swing>', () => {
  const note = (type: string, rest = '') =>
    `<metronome-note><metronome-type>${type}</metronome-type>${rest}</metronome-note>`;
  const shown = (a: string, b: string) =>
    direction(
      `<metronome>${note('eighth')}${note('eighth')}<metronome-relation>equals</metronome-relation>${a}${b}</metronome>`,
    );
  const tuplet = (type: string) =>
    `<metronome-tuplet type="${type}"><actual-notes>3</actual-notes><normal-notes>2</normal-notes></metronome-tuplet>`;
  const triplet = shown(note('quarter', tuplet('start')), note('eighth', tuplet('stop')));
  const dotted = shown(note('eighth', '<metronome-dot/>'), note('16th'));
  const swing = (first: number) => ({ kind: 'swing', unit: 'eighth', first, second: 1 });

  it.each([
    ['a triplet', triplet, swing(2)],
    ['a dotted eighth and a 16th', dotted, swing(3)],
    ['equal notes', shown(note('quarter'), note('quarter')), { kind: 'straight' }],
    ['words', direction('<words>Medium Swing</words>'), swing(2)],
    ['words with a tempo', direction('<words>Swing (♩ = 160)</words>'), swing(2)],
    [
      'words for 16ths',
      direction('<words>16th-note shuffle</words>'),
      { ...swing(2), unit: '16th' },
    ],
    ['words that forbid it', direction("<words>don't swing</words>"), { kind: 'straight' }],
    ['words against it', direction('<words>no swing</words>'), { kind: 'straight' }],
    ['other words', direction('<words>swinging door</words>'), { kind: 'straight' }],
  ])('by %s', (_, text, feel) => {
    expect(file(text).phrase.feel).toEqual(feel);
  });

  it('words are believed only where nothing else says it, which is listed', () => {
    const words = direction('<words>Shuffle</words>');
    expect(file(words).listed.join()).toContain('it is read as 2 : 1');
    const told = '<sound><swing><straight/></swing></sound>';
    expect(file(words + told).phrase.feel).toEqual({ kind: 'straight' });
  });
});

describe('marks', () => {
  it('dynamics and words at their places, in the order of time', () => {
    const { phrase } = file(
      direction('<dynamics><mf/></dynamics>') +
        direction('<words>gently</words>', '<offset>1</offset>'),
      direction('<dynamics><p/></dynamics>'),
    );
    expect(phrase.marks).toEqual([
      { kind: 'dynamic', onset: 0, value: 'mf' },
      { kind: 'words', onset: 5040, text: 'gently' },
      { kind: 'dynamic', onset: 20_160, value: 'p' },
    ]);
  });

  it('louder and softer than the model are brought near, others listed', () => {
    const { phrase, listed } = file(
      direction('<dynamics><fff/></dynamics>'),
      direction('<dynamics><sfz/></dynamics>') + direction('<wedge type="crescendo"/>'),
    );
    expect(phrase.marks).toEqual([{ kind: 'dynamic', onset: 0, value: 'ff' }]);
    expect(listed.join()).toContain("the dynamic 'fff' is kept as ff");
    expect(listed.join()).toContain("the dynamic 'sfz' is not kept");
    expect(listed.join()).toContain('wedge: not kept');
  });

  it('dynamics on a note count like those beside it', () => {
    const { phrase } = imported(
      score([attributes() + n('E4', 4) + n('F4', 4, { notations: '<dynamics><f/></dynamics>' })]),
    );
    expect(phrase.marks).toEqual([{ kind: 'dynamic', onset: 20_160, value: 'f' }]);
  });

  it('the same direction for a second staff is a copy; two dynamics at one place are one', () => {
    const { phrase, listed } = file(
      direction('<words>slow</words>', '<staff>1</staff>') +
        direction('<words>slow</words>', '<staff>2</staff>') +
        direction('<dynamics><p/></dynamics>') +
        direction('<dynamics><f/></dynamics>'),
    );
    expect(phrase.marks.map((m) => (m.kind === 'words' ? m.text : m.value))).toEqual(['slow', 'p']);
    expect(listed.join()).toContain('a second dynamic at one place');
  });

  it('words over several lines become one line', () => {
    const { phrase } = file(direction('<words>\n  let it\n  breathe\n</words>'));
    expect(phrase.marks).toEqual([{ kind: 'words', onset: 0, text: 'let it breathe' }]);
  });
});

describe('the head', () => {
  const head = (text: string, o = {}) =>
    imported(score([attributes() + n('E4', 8)], { head: text }), o);

  it('takes the movement title, else the title of the work, else the one given', () => {
    const work = '<work><work-title>Work</work-title></work>';
    expect(head(`${work}<movement-title>Movement</movement-title>`).phrase.meta.title).toBe(
      'Movement',
    );
    expect(head(work).phrase.meta.title).toBe('Work');
    expect(head('', { title: 'a-file-name' }).phrase.meta.title).toBe('a-file-name');
    expect(head('').phrase.meta.title).toBe('');
  });

  it('script in a title is text like any other', () => {
    const text = "&lt;script&gt;alert('x')&lt;/script&gt;";
    const { phrase } = head(`<movement-title>${text}</movement-title>`);
    expect(phrase.meta.title).toBe("<script>alert('x')</script>");
    // XML 1.0 allows U+007F to U+009F, a phrase does not.
    const control = head('<movement-title>one\u009f two\u0085</movement-title>');
    expect(control.phrase.meta.title).toBe('one two');
  });

  it('keeps the source and lists creators and rights', () => {
    const { phrase, listed } = head(
      '<identification><creator type="composer">A. Person</creator><rights>All kept</rights><source>notebook 3</source></identification>',
    );
    expect(phrase.meta.source).toBe('notebook 3');
    expect(listed.join()).toContain("the composer 'A. Person' is not kept");
    expect(listed.join()).toContain("the notice of rights 'All kept' is not kept");
  });

  it('identity and times are given from outside', () => {
    const { phrase } = head('');
    expect(phrase.id).toMatch(/^new\d+$/u);
    expect(phrase.meta.created).toBe('2026-02-03T04:05:06Z');
    expect(phrase.parent).toBeNull();
  });

  it('lyrics are listed once with their number', () => {
    const { listed } = imported(
      score([
        attributes() +
          n('E4', 4, { extra: '<lyric><text>la</text></lyric>' }) +
          n('E4', 4, { extra: '<lyric><text>la</text></lyric>' }),
      ]),
    );
    expect(listed).toContain('from bar 1, beat 1: lyrics: not kept (dropped, 2 times)');
  });
});

describe('parts', () => {
  const two = `<score-partwise><part-list><score-part id="P1"><part-name>Voice</part-name></score-part>
<score-part id="P2"><part-name>Guitar</part-name></score-part></part-list>
<part id="P1"><measure number="1">${attributes()}${n('rest', 8)}</measure></part>
<part id="P2"><measure number="1">${attributes()}${n('A3', 8)}</measure></part></score-partwise>`;

  it('the first with notes is read, the others are listed by name', () => {
    const { phrase, listed } = imported(two);
    expect(phrase.instrument.name).toBe('Guitar');
    expect(listed).toContain('1 other part is not read: 1 Voice (dropped)');
  });

  it('a part of drums is not the first with pitches', () => {
    const drums = n('C4', 8).replace(/<pitch>.*<\/pitch>/u, '<unpitched/>');
    const both = two.replace(
      /<part id="P1">.*?<\/part>/su,
      `<part id="P1"><measure>${attributes()}${drums}</measure></part>`,
    );
    expect(imported(both).phrase.instrument.name).toBe('Guitar');
  });

  it('a part that can be read is named where the first cannot', () => {
    const far = `<measure>${attributes()}${n('C1', 4)}${n('C8', 4)}</measure>`;
    const both = two.replace(/<part id="P1">.*?<\/part>/su, `<part id="P1">${far}</part>`);
    const read = readMusicXml(both, { newId: () => `x${next++}`, now: '2026-11-27T10:00:00Z' });
    expect(!read.ok && read.problems[0]?.fix).toBe('Read part 2.');
  });
  let next = 0;

  it('another one on request', () => {
    expect(imported(two, { part: 1 }).phrase.voices[0].events).toEqual([]);
    expect(() => imported(two, { part: 3 })).toThrow(
      'there is no part 3. The file has parts 1 to 2',
    );
  });

  it('timewise scores are read part by part', () => {
    const { phrase } = imported(
      `<score-timewise><part-list><score-part id="P1"><part-name>G</part-name></score-part></part-list>
<measure number="0" implicit="yes"><part id="P1">${attributes()}${n('A3', 2)}</part></measure>
<measure number="1"><part id="P1">${n('B3', 8)}</part></measure></score-timewise>`,
    );
    expect([phrase.pickup, phrase.bars.length]).toEqual([10_080, 1]);
    expect(phrase.voices[0].events).toHaveLength(2);
  });
});
