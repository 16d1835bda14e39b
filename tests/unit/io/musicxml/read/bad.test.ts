import { describe, expect, it } from 'vitest';
import { checkPhrase } from '../../../../../src/core/validity/check-phrase';
import { readMusicXml } from '../../../../../src/io/musicxml/read/read-musicxml';
import { writeMusicXml } from '../../../../../src/io/musicxml/write/write-musicxml';
import { parseXml, XML_LIMITS } from '../../../../../src/io/musicxml/xml/parse';
import { seededPhrase } from '../../../../support/arbitrary';
import { Dice } from '../../../../support/generate/dice';
import { attributes, n, refused, score } from '../../../../support/score-text';

/*
 * Damaged, wrong and hostile files: a clear problem with its place, in bounded time, never a throw.
 * What well-formed XML is: W3C XML 1.0 (fifth edition).
 */

const GOOD = score([attributes() + n('E4', 4) + n('F4', 4)]);

describe('text that is not well-formed XML', () => {
  it.each([
    ['cut short', GOOD.slice(0, GOOD.length - 30), /broken/u],
    ['a tag closed by another', GOOD.replace('</step>', '</octave>'), /broken/u],
    ['a stray ampersand', GOOD.replace('Test part', 'A & B'), /broken/u],
    ['a duplicate attribute', GOOD.replace('<part id="P1">', '<part id="P1" id="P2">'), /broken/u],
    ['a control character', GOOD.replace('Test part', 'A\u0007B'), /broken/u],
    ['two roots', `${GOOD}<score-partwise/>`, /broken/u],
    ['an undeclared entity', GOOD.replace('Test part', '&boom;'), /broken/u],
    ['empty', '', /empty/u],
    ['white space only', ' \n ', /empty/u],
    ['no XML at all', 'X:1\nT:tune\nK:G', /broken/u],
    ['JSON', '{"format":"degreewise-phrase"}', /broken/u],
    ['a binary file', 'PK\u0003\u0004\u0014\u0000', /broken/u],
  ])('%s', (_, text, message) => {
    const [problem] = refused(text);
    expect(problem?.message).toMatch(message);
    expect(problem?.fix).toMatch(/\.$/u);
    expect(problem?.line).toBeGreaterThanOrEqual(1);
  });

  it('names line and column, both from 1', () => {
    const r = parseXml('<a>\n  <b></c>\n</a>');
    expect(r).toMatchObject({ ok: false, problems: [{ line: 2, column: 10 }] });
  });
});

describe('hostile text', () => {
  it('entity declarations are refused where they stand, nothing is expanded', () => {
    const laughs = Array.from(
      { length: 20 },
      (_, i) => `<!ENTITY l${i + 1} "${`&l${i};`.repeat(10)}">`,
    ).join('\n');
    const text = `<?xml version="1.0"?>\n<!DOCTYPE score-partwise [\n<!ENTITY l0 "ha">\n${laughs}\n]>\n<score-partwise>&l20;</score-partwise>`;
    // Expanded, it would be 10^20 words: that this ends at all is the bound.
    const [problem] = refused(text);
    expect(problem?.message).toContain('declares entities');
    expect(problem?.line).toBe(24);
    const outside = GOOD.replace(
      '<!DOCTYPE score-partwise PUBLIC',
      '<!DOCTYPE score-partwise [<!ENTITY % x SYSTEM "file:///etc/passwd"> %x;]><!-- PUBLIC',
    ).replace('partwise.dtd">', 'partwise.dtd -->');
    expect(refused(outside)[0]?.message).toContain('declares entities');
  });

  it('the five predefined entities and character references are read', () => {
    const r = parseXml('<a>&lt;&amp;&gt;&quot;&apos;&#65;&#x1F3B8;<![CDATA[<b>]]></a>');
    expect(r).toMatchObject({ ok: true, value: { text: '<&>"\'A🎸<b>' } });
  });

  it('deep nesting', () => {
    const [problem] = refused(`${'<a>'.repeat(100_000)}${'</a>'.repeat(100_000)}`);
    expect(problem?.message).toContain(`more than ${XML_LIMITS.depth} deep`);
    expect(problem?.line).toBe(1);
  });

  it('too many elements, too much text', () => {
    const limits = { characters: 1_000_000, depth: 10, elements: 1000 };
    const many = parseXml(`<a>${'<b/>'.repeat(2000)}</a>`, limits);
    expect(many).toMatchObject({ ok: false, problems: [{ line: 1 }] });
    const long = parseXml(`<a>${' '.repeat(1_000_000)}</a>`, limits);
    expect(!long.ok && long.problems[0]?.message).toContain('1000007 characters');
  });

  it('names of attributes and elements mean nothing to the program', () => {
    const text = GOOD.replace(
      '<part id="P1">',
      '<part id="P1" __proto__="x" constructor="y">',
    ).replace('<voice>1</voice>', '<voice>__proto__</voice>');
    expect(readMusicXml(text, { newId: counter(), now: NOW }).ok).toBe(true);
    expect(({} as { x?: unknown }).x).toBeUndefined();
  });
});

const NOW = '2026-02-03T04:05:06Z';
function counter() {
  let next = 0;
  return () => `id${next++}`;
}

describe('files that are not scores', () => {
  it.each([
    ['a container', '<container><rootfiles/></container>', /table of contents/u],
    ['an opus', '<opus/>', /list of scores/u],
    ['a page', '<html><body/></html>', /begins with 'html' and is no MusicXML/u],
    ['no part', '<score-partwise><part-list/></score-partwise>', /has no part/u],
  ])('%s', (_, text, message) => {
    expect(refused(text)[0]?.message).toMatch(message);
    expect(refused(text)[0]?.line).toBe(1);
  });

  it('a part without measures is an empty phrase of one bar', () => {
    const r = readMusicXml('<score-partwise><part id="P1"/></score-partwise>', {
      newId: counter(),
      now: NOW,
    });
    expect(r.ok && [r.value.phrase.bars.length, r.value.phrase.length]).toEqual([1, 40_320]);
  });
});

describe('values that make no sense', () => {
  const withDuration = (d: string) =>
    score([attributes() + n('E4', 4) + n('F4', 4).replace('<duration>4<', `<duration>${d}<`)]);
  it.each(['-4', 'NaN', 'Infinity', '1e3', '4,5', '', '99999999999'])('a duration of %s', (d) => {
    const [problem] = refused(withDuration(d));
    expect(problem?.message).toMatch(/is no duration|a duration is missing/u);
    expect(problem?.line).toBe(4);
    expect(problem?.column).toBeGreaterThan(100);
  });

  it.each(['0', '-2', 'NaN', 'x', '1e9'])('divisions of %s', (d) => {
    const [problem] = refused(GOOD.replace('<divisions>2<', `<divisions>${d}<`));
    expect(problem?.message).toContain('divisions in a quarter note cannot be read');
    expect(problem?.line).toBe(4);
  });

  it.each([
    ['a step', '<step>E</step>', '<step>H</step>'],
    ['an octave', '<octave>4</octave>', '<octave>four</octave>'],
    ['an alteration', '</step>', '</step><alter>sharp</alter>'],
    ['no pitch at all', /<pitch>.*?<\/pitch>/u, ''],
  ])('%s', (_, what, by) => {
    const [problem] = refused(GOOD.replace(what, by));
    expect(problem?.line).toBe(4);
  });

  it('every such place is named, up to twenty', () => {
    const notes = Array.from({ length: 30 }, () => n('E4', 1).replace('<step>E', '<step>Q'));
    expect(refused(score([attributes() + notes.join('')]))).toHaveLength(20);
  });

  it('a bar of a million quarters', () => {
    const [problem] = refused(score([attributes() + n('E4', 1_000_000_000)]));
    expect(problem?.message).toMatch(/quarter notes long|more than/u);
  });

  it('more of everything than can be stored is refused, or cut where the music allows', () => {
    const words = '<direction><direction-type><words>w</words></direction-type></direction>';
    expect(
      refused(score([attributes() + words.repeat(20_001) + n('E4', 8)]))[0]?.message,
    ).toContain('20001 chord symbols or directions');
    const graces = n('D4', 0, { grace: true }).repeat(3000);
    const r = readMusicXml(score([attributes() + graces + n('E4', 8)]), {
      newId: counter(),
      now: NOW,
    });
    expect(r.ok && r.value.phrase.voices[0].events[0]?.graces).toHaveLength(16);
    const bars = Array.from({ length: 10_001 }, (_, i) => (i === 0 ? attributes() : ''));
    expect(refused(score(bars))[0]?.message).toContain('10001 bars');
  });

  it('odd numbers elsewhere never reach the phrase', () => {
    const odd = score([
      attributes({ rest: '<staff-details><capo>99</capo></staff-details>' }) +
        '<sound tempo="-5"/>' +
        '<harmony><root><root-step>Z</root-step></root><kind>major</kind></harmony>' +
        n('E4', 4, {
          technical: '<string>0</string><fret>-3</fret><bend><bend-alter>x</bend-alter></bend>',
        }) +
        n('F4', 4, { technical: '<string>2.5</string><fret>NaN</fret><fingering>9</fingering>' }),
    ]);
    const r = readMusicXml(odd, { newId: counter(), now: NOW });
    if (!r.ok) throw new Error(r.problems[0]?.message);
    expect(checkPhrase(r.value.phrase)).toEqual([]);
    expect(r.value.phrase.tempo.bpm).toBe(10);
    expect(r.value.phrase.instrument.capo).toBe(0);
  });
});

/** One random change to the text of a file: what an editor, a bad disk or an enemy might do. */
function damage(xml: string, d: Dice): string {
  const elements = [...xml.matchAll(/<([a-z-]+)(?: [^>]*)?>[^<]*<\/\1>|<[a-z-]+(?: [^>]*)?\/>/gu)];
  const one = d.pick(elements);
  const other = d.pick(elements);
  const [start, text] = [one.index, one[0]];
  const cut = xml.slice(0, start) + xml.slice(start + text.length);
  switch (d.int(0, 6)) {
    case 0:
      return cut;
    case 1:
      return xml.slice(0, start) + text + xml.slice(start);
    case 2:
      return xml.slice(0, start) + other[0] + xml.slice(start + text.length);
    case 3:
      return (
        xml.slice(0, start) +
        text.replace(/\d+/u, d.pick(ODD_NUMBERS)) +
        xml.slice(start + text.length)
      );
    case 4:
      return xml.slice(0, other.index) + text + xml.slice(other.index);
    case 5:
      return xml.replace(/<note>.*?<\/note>/su, '');
    default:
      return xml.replace(`>${d.int(1, 9)}<`, `>${d.pick(ODD_NUMBERS)}<`);
  }
}

const ODD_NUMBERS = ['0', '-1', '1', '2', '3', '5', '7', '11', '0.5', '100', '10080', '3360', 'x'];

describe('damaged files', () => {
  it('give a valid phrase or a problem, never a throw, in bounded time', () => {
    const counts = { read: 0, refused: 0 };
    const spent = { whole: 0, damaged: 0 };
    for (let seed = 0; seed < 150; seed++) {
      const d = new Dice(seed, 1);
      let xml = writeMusicXml(seededPhrase(70_000 + seed, { maxBars: 2 }));
      // Without our own fields, so that what is read depends on the standard part.
      if (d.chance(0.7)) xml = xml.replace(/<miscellaneous>.*?<\/miscellaneous>/su, '');
      spent.whole += busy(() => readMusicXml(xml, { newId: counter(), now: NOW })).ms;
      for (let i = d.int(1, 4); i > 0; i--) xml = damage(xml, d);
      const { value: r, ms } = busy(() => readMusicXml(xml, { newId: counter(), now: NOW }));
      spent.damaged += ms;
      if (r.ok) {
        counts.read++;
        expect(checkPhrase(r.value.phrase)).toEqual([]);
      } else {
        counts.refused++;
        expect(r.problems.length).toBeGreaterThan(0);
        expect(r.problems.every((p) => p.message !== '')).toBe(true);
      }
    }
    expect(counts.read).toBeGreaterThan(70);
    expect(counts.refused).toBeGreaterThan(10);
    expect(spent.damaged).toBeLessThan(MOST_TIMES * spent.whole);
  });
});

/** So many times what the same files take undamaged: 1.1 as a rule, with room for a few odd ones. */
const MOST_TIMES = 5;

/** What something gives, and the processor time that it took, which other programs hardly lengthen. */
function busy<T>(run: () => T): { readonly value: T; readonly ms: number } {
  const before = process.cpuUsage();
  const value = run();
  const { user, system } = process.cpuUsage(before);
  return { value, ms: (user + system) / 1000 };
}
