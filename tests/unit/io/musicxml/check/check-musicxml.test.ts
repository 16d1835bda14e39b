import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { formatProblem } from '../../../../../src/core/result';
import { checkMusicXml } from '../../../../../src/io/musicxml/check/check-musicxml';
import {
  type WriteMusicXmlOptions,
  writeMusicXml,
} from '../../../../../src/io/musicxml/write/write-musicxml';
import { seededPhrase } from '../../../../support/arbitrary';
import { build } from '../../../../support/build';
import { MUSICXML_CASES } from '../../../../support/musicxml-cases';
import { refPath } from '../../../../support/refs';

const messages = (xml: string) => checkMusicXml(xml).map((p) => p.message);

const OPTIONS: readonly WriteMusicXmlOptions[] = [
  {},
  { staves: 'tab' },
  { staves: 'staff' },
  { asFingered: true, degrees: 'key' },
];

describe('our own files', () => {
  it.each(MUSICXML_CASES.map((p) => [p.meta.title, p] as const))('%s has no problem', (_, p) => {
    for (const o of OPTIONS) {
      expect(checkMusicXml(writeMusicXml(p, o)).map(formatProblem)).toEqual([]);
    }
  });

  it('generated phrases have no problem', () => {
    for (let seed = 2_000; seed < 2_120; seed++) {
      const xml = writeMusicXml(seededPhrase(seed), OPTIONS[seed % OPTIONS.length]);
      expect(checkMusicXml(xml).map(formatProblem), `seed ${seed}`).toEqual([]);
    }
  });
});

/** A sound file in which every fault can be planted. */
const SOUND = writeMusicXml({
  ...build(
    'e 3/5 3/7(h) 3/5(p) 3/7(s) q 2/8(rel:A4,vib)@pm h 2/5+3/5 e3 1/5 1/8 1/5 q 2/8(pre:A4) 3/4(in:-1) | w 2/13 | w 2/12',
    { chords: 'C7 | F7 | C7', bars: 4, length: 4 * 40_320 },
  ),
  bars: [
    { meter: { beats: 4, beatType: 4 }, repeatStart: true },
    { meter: { beats: 4, beatType: 4 } },
    { meter: { beats: 4, beatType: 4 }, ending: [1], repeatEnd: 2 },
    { meter: { beats: 4, beatType: 4 }, ending: [2] },
  ],
});

/** Removes the nth element that begins so, with its line. */
function cut(start: string, nth = 0) {
  return (xml: string) => {
    let seen = 0;
    return xml
      .split('\n')
      .filter((line) => !(line.trim().startsWith(start) && seen++ === nth))
      .join('\n');
  };
}

function swap(from: string | RegExp, to: string) {
  return (xml: string) => xml.replace(from, to);
}

/** Edits the text of the nth <note> that contains a text. */
function inNote(containing: string, edit: (note: string) => string) {
  return (xml: string) => {
    let done = false;
    return xml.replace(/<note\b[\s\S]*?<\/note>/gu, (note) => {
      if (done || !note.includes(containing)) return note;
      done = true;
      return edit(note);
    });
  };
}

const FAULTS: readonly (readonly [string, (xml: string) => string, RegExp])[] = [
  [
    'a fret that is not its pitch',
    inNote('id="t1"', swap('<fret>5<', '<fret>6<')),
    /fret 6 on string 3/,
  ],
  [
    'a string that is not there',
    inNote('id="t1"', swap('<string>3<', '<string>9<')),
    /no string 9/,
  ],
  [
    'a tab note without a fret',
    inNote('id="t1"', swap(/ *<fret>5<\/fret>\n/u, '')),
    /lacks its string or fret/,
  ],
  [
    'a tied tab note without a string',
    inNote('id="t7.2"', swap(/ *<string>.*\n/u, '')),
    /lacks its string or fret/,
  ],
  [
    'a tuning upside down',
    (x) =>
      x
        .replace(/line="1"/u, 'line="0"')
        .replace(/line="6"/u, 'line="1"')
        .replace(/line="0"/u, 'line="6"'),
    /sounds (lower|higher)/,
  ],
  [
    'a capo that shifts all',
    swap('</staff-details>', '<capo>2</capo></staff-details>'),
    /sounds higher/,
  ],
  [
    'an octave shifted twice',
    swap(
      /<transpose>[\s\S]*?<\/transpose>|<\/attributes>/u,
      '<transpose><chromatic>0</chromatic><octave-change>-1</octave-change></transpose></attributes>',
    ),
    /fret \d+ on string/,
  ],
  [
    'an overfull bar',
    inNote('id="n1"', (n) => `${n}${n.replace(/ id="n1"/u, '')}`),
    /bar is overfull: 4.5 quarters/,
  ],
  [
    'an underfull bar',
    (x) =>
      inNote(
        'id="t1"',
        () => '',
      )(inNote('id="n1"', () => '')(x)).replace(
        /<backup>\s*<duration>40320/u,
        '<backup><duration>35280',
      ),
    /bar is underfull: 3.5 quarters/,
  ],
  [
    'a voice that does not fill its bar',
    inNote('id="t2"', () => ''),
    /voice 5 on staff 2 fills 3.5 quarters/,
  ],
  [
    'a backup that is too short',
    swap(
      '<duration>40320</duration>\n      </backup>',
      '<duration>20160</duration>\n      </backup>',
    ),
    /overfull/,
  ],
  [
    'a backup that is too long',
    swap(
      '<duration>40320</duration>\n      </backup>',
      '<duration>50400</duration>\n      </backup>',
    ),
    /goes back before the bar line/,
  ],
  [
    'a duration that is not its value',
    inNote('id="n1"', swap('<type>eighth<', '<type>quarter<')),
    /is not that of its quarter/,
  ],
  [
    'a tuplet ratio gone',
    inNote('id="n9"', swap(/<time-modification>[\s\S]*?<\/time-modification>/u, '')),
    /is not that of its eighth|lacks its ratio/,
  ],
  [
    'a chord of unequal notes',
    inNote('<chord/>', swap(/<duration>\d+/u, '<duration>2520')),
    /notes of a chord have different durations/,
  ],
  [
    'a chord without its first note',
    inNote('id="n1"', swap('<pitch>', '<chord/><pitch>')),
    /no note before it to join/,
  ],
  ['a slur without its stop', cut('<slur type="stop"'), /a slur starts that does not stop/],
  ['a slur without its start', cut('<slur type="start"'), /a slur stops that did not start/],
  ['a slide without its stop', cut('<slide type="stop"'), /a slide starts that does not stop/],
  [
    'a slide over two strings',
    inNote('id="t4"', (n) =>
      n.replace('<string>3<', '<string>4<').replace('<fret>7<', '<fret>12<'),
    ),
    /a slide goes from string 3 to string 4/,
  ],
  [
    'a hammer-on without its stop',
    cut('<hammer-on type="stop"'),
    /a hammer-on starts that does not stop/,
  ],
  [
    'a hammer-on that goes down',
    (x) => x.replace(/pull-off/gu, 'hammer-on'),
    /a hammer-on goes from fret 7 to fret 5/,
  ],
  [
    'a pull-off without its start',
    cut('<pull-off type="start"'),
    /a pull-off stops that did not start/,
  ],
  [
    'a wavy line without its stop',
    cut('<wavy-line type="stop"'),
    /a wavy-line starts that does not stop/,
  ],
  ['a tuplet without its stop', cut('<tuplet type="stop"'), /a tuplet starts that does not stop/],
  ['a tuplet without its start', cut('<tuplet type="start"'), /a tuplet stops that did not start/],
  [
    'a tie without its stop',
    (x) => cut('<tie type="stop"')(cut('<tied type="stop"')(x)),
    /a tie starts that does not stop/,
  ],
  [
    'a tie without its start',
    (x) => cut('<tie type="start"')(cut('<tied type="start"')(x)),
    /a tie stops that did not start/,
  ],
  ['a tie that is not drawn', cut('<tied type="start"'), /played and not drawn/],
  [
    'a tie to another pitch',
    (x) => inNote('id="n7.2"', swap('<octave>4<', '<octave>5<'))(x),
    /a tie stops that did not start/,
  ],
  ['dashes without their stop', cut('<dashes type="stop"'), /dashes start that do not stop/],
  ['a beam without its end', cut('<beam number="1">end'), /a beam (does not end|begins inside)/],
  ['a beam without its begin', cut('<beam number="1">begin'), /a beam has no begin/],
  [
    'a repeat without its end',
    cut('<repeat direction="backward"'),
    /a repeat starts that does not end/,
  ],
  [
    'an ending without its stop',
    cut('<ending number="1" type="stop"'),
    /an ending starts that does not end/,
  ],
  [
    'an ending without its start',
    cut('<ending number="2" type="start"'),
    /an ending stops that did not start/,
  ],
  [
    'a release that goes up',
    swap(/<bend-alter>-2<\/bend-alter>(\s*)<release/u, '<bend-alter>2</bend-alter>$1<release'),
    /release of 2 semitones has the wrong sign/,
  ],
  [
    'a release without its bend',
    swap(/<bend first[^>]*>\s*<bend-alter>2<\/bend-alter>\s*<\/bend>/u, ''),
    /a release has no bend before it/,
  ],
  [
    'a pre-bend that goes up',
    swap(/<bend-alter>-2<\/bend-alter>(\s*)<pre-bend/u, '<bend-alter>2</bend-alter>$1<pre-bend'),
    /pre-bend or dip of 2 semitones/,
  ],
  [
    'two notes on one string',
    inNote('id="t7"', (n) =>
      n.replace('<string>3<', '<string>2<').replace(/<fret>5</u, '<fret>1<'),
    ),
    /string 2 is struck while/,
  ],
  ['staves that differ', inNote('id="n1"', swap('<step>C<', '<step>D<')), /not on the other staff/],
  ['an id that is there twice', swap('id="n2"', 'id="n1"'), /id 'n1' is there twice/],
];

describe('planted faults', () => {
  it('start from a sound file', () => {
    expect(messages(SOUND)).toEqual([]);
  });

  it.each(FAULTS)('finds %s', (_, plant, expected) => {
    const spoilt = plant(SOUND);
    expect(spoilt).not.toBe(SOUND);
    const found = checkMusicXml(spoilt);
    expect(found.map((p) => p.message).join('\n')).toMatch(expected);
    for (const p of found) {
      expect(p.line).toBeGreaterThan(0);
      expect(p.fix).toBeDefined();
    }
  });

  it('names bar and line', () => {
    const [problem] = checkMusicXml(inNote('id="t9"', swap('<fret>8<', '<fret>9<'))(SOUND));
    const line = SOUND.slice(0, SOUND.indexOf('<note id="t9"')).split('\n').length;
    expect(problem).toMatchObject({ bar: 2, line });
  });
});

describe('other files', () => {
  it('says what is no score', () => {
    expect(messages('<score-partwise/>')[0]).toContain('no score-partwise file with a part');
    expect(messages('<score-timewise><measure/></score-timewise>')[0]).toContain(
      'no score-partwise',
    );
    expect(messages('<score-partwise><part>')[0]).toContain('XML is broken');
  });

  const suite = refPath('musicxml-testsuite/xmlFiles');
  if (suite === null) console.warn('skipped: the importer test suite (shared/refs is absent)');
  it.skipIf(suite === null)('reads the public importer test suite without a throw', () => {
    const files = readdirSync(suite!).filter((f) => /\.(musicxml|xml)$/u.test(f));
    expect(files.length).toBeGreaterThan(100);
    for (const f of files) {
      expect(() => checkMusicXml(readFileSync(path.join(suite!, f), 'utf8')), f).not.toThrow();
    }
  });
});
