import { describe, expect, it } from 'vitest';
import type { Bar, Phrase } from '../../../../../src/core/phrase/types';
import { readMusicXml } from '../../../../../src/io/musicxml/read/read-musicxml';
import {
  type WriteMusicXmlOptions,
  writeMusicXml,
} from '../../../../../src/io/musicxml/write/write-musicxml';
import { type BuildOptions, build } from '../../../../support/build';

/*
 * What is written for each technique: MUSIC.md's table of section 6, whose right column is the
 * W3C Music Notation Community Group's MusicXML 4.0. Whole files are judged elsewhere (schemas,
 * semantic check, verovio, golden files).
 */

const flat = (xml: string) => xml.replace(/>\s+</gu, '><');
const write = (p: Phrase, o: WriteMusicXmlOptions = {}) => flat(writeMusicXml(p, o));

/** The <note>s of one staff, without what every note has. */
function notes(line: string, o: BuildOptions = {}, w: WriteMusicXmlOptions = { staves: 'tab' }) {
  const xml = write(build(line, { chords: 'C', ...o }), w);
  return (xml.match(/<note\b.*?<\/note>/gu) ?? []).filter((n) => !n.includes('<rest'));
}
/** The notations of the nth written note. */
const notations = (line: string, n = 0) => /<notations>.*<\/notations>/u.exec(notes(line)[n]!)![0];
const technical = (line: string, n = 0) =>
  /<technical>(.*)<\/technical>/u.exec(notations(line, n))![1]!.replace(/<string>.*<\/fret>/u, '');

describe('pitch and place', () => {
  it('writes sounding pitches under a G clef with an 8 below and no transpose (P3)', () => {
    const xml = write(build('q 1/0 6/0', { chords: 'C' }));
    expect(xml).toContain(
      '<clef number="1"><sign>G</sign><line>2</line><clef-octave-change>-1</clef-octave-change></clef>',
    );
    expect(xml).not.toContain('<transpose');
    // Open strings of standard tuning (P4): E4 and E2.
    expect(xml).toContain('<pitch><step>E</step><octave>4</octave></pitch>');
    expect(xml).toContain('<pitch><step>E</step><octave>2</octave></pitch>');
  });

  it('writes a plain G clef for the ukulele and an F clef with an 8 below for the bass (P3)', () => {
    const clef = (c: 'treble' | 'bass-8') =>
      /<clef>.*?<\/clef>/u.exec(
        write(build('q 1/0', { chords: 'C', instrument: { clef: c } }), { staves: 'staff' }),
      )?.[0];
    expect(clef('treble')).toBe('<clef><sign>G</sign><line>2</line></clef>');
    expect(clef('bass-8')).toBe(
      '<clef><sign>F</sign><line>4</line><clef-octave-change>-1</clef-octave-change></clef>',
    );
  });

  it('counts the lines of the tuning from the bottom, and writes the capo', () => {
    const xml = write(build('q 1/0', { chords: 'C', instrument: { capo: 3 } }));
    expect(xml).toContain(
      '<staff-details number="2"><staff-lines>6</staff-lines>' +
        '<staff-tuning line="1"><tuning-step>E</tuning-step><tuning-octave>2</tuning-octave></staff-tuning>',
    );
    expect(xml).toContain(
      '<staff-tuning line="6"><tuning-step>E</tuning-step><tuning-octave>4</tuning-octave></staff-tuning><capo>3</capo></staff-details>',
    );
    // Fret 0 is the capo (N2).
    expect(xml).toContain('<pitch><step>G</step><octave>4</octave></pitch>');
  });

  it('writes string and fret on tied notes too', () => {
    const [, second] = notes('h. 3/5 h 3/7', { bars: 2 }).slice(1);
    expect(second).toContain('<tie type="stop"/>');
    expect(second).toContain('<string>3</string><fret>7</fret>');
    expect(second).toContain('id="t2.2"');
  });

  it('as fingered writes the transposition on both staves (N2)', () => {
    const xml = write(build('q 1/0', { key: 'C', chords: 'C', instrument: { capo: 3 } }), {
      asFingered: true,
    });
    // Capo 3: C is fingered as A, a minor third below.
    for (const staff of [1, 2]) {
      expect(xml).toContain(
        `<transpose number="${staff}"><diatonic>2</diatonic><chromatic>3</chromatic></transpose>`,
      );
    }
    expect(xml).toContain('<fifths>3</fifths>');
    expect(xml).toContain('<root><root-step>A</root-step></root>');
    expect(xml).toContain('<pitch><step>E</step><octave>4</octave></pitch>');
    expect(xml).toContain('"at":[1,0,1,0,"G4"]');
  });
});

describe('accidentals', () => {
  it('are cautionary where the bar before left the line altered, as the score shows them', () => {
    // A♭ in bar 1; the A of bar 2 only reminds of it, and the next one shows nothing.
    const xml = write(build('w 1/4 h 1/5 1/5', { chords: 'C' }), { staves: 'staff' });
    const signs = (xml.match(/<accidental[^/]*<\/accidental>/gu) ?? []).join(' ');
    expect(signs).toBe(
      '<accidental>flat</accidental> <accidental cautionary="yes">natural</accidental>',
    );
    // A reader that knows pitches needs none of them: what comes back is equal.
    const back = readMusicXml(xml, { newId: () => 'x', now: '2026-11-27T10:00:00Z' });
    expect(back.ok && back.value.notes.filter((n) => n.kind !== 'assumed')).toEqual([]);
  });
});

describe('bends', () => {
  it.each([
    ['3/7(bend:E4)', '<bend first-beat="0" last-beat="50"><bend-alter>2</bend-alter></bend>'],
    ['3/7(curl)', '<bend first-beat="0" last-beat="100"><bend-alter>0.5</bend-alter></bend>'],
    ['3/7(pre:Eb4)', '<bend><bend-alter>-1</bend-alter><pre-bend/></bend>'],
    [
      '3/7(rel:E4)',
      '<bend first-beat="0" last-beat="25"><bend-alter>2</bend-alter></bend>' +
        '<bend first-beat="50" last-beat="75"><bend-alter>-2</bend-alter><release offset="5040"/></bend>',
    ],
    [
      '3/7(prerel:F4)',
      '<bend><bend-alter>-3</bend-alter><pre-bend/></bend>' +
        '<bend first-beat="50" last-beat="75"><bend-alter>-3</bend-alter><release offset="5040"/></bend>',
    ],
    ['3/7(dip:2)', '<bend><bend-alter>-2</bend-alter><with-bar>dip</with-bar></bend>'],
  ])('%s', (note, expected) => {
    expect(technical(`q ${note}`)).toBe(expected);
    // Pitch and fret are those of the fretted start.
    expect(notes(`q ${note}`)[0]).toContain('<step>D</step><octave>4</octave>');
  });

  it('gives each note of a double stop its own bend (worked example 1: G7, C4 full, E4 half)', () => {
    const [low, high] = notes('h 3/5(bend:D4)+2/5(bend:F4)', { chords: 'G7' });
    expect(low).toContain('<string>3</string>');
    expect(low).toContain('<bend-alter>2</bend-alter>');
    expect(high).toContain('<bend-alter>1</bend-alter>');
  });

  it('writes a unison bend as two notes, one with a bend', () => {
    const [low, high] = notes('h 2/13+3/15=Bb(bend:C5)', { chords: 'C' });
    expect(low).toContain('<bend-alter>2</bend-alter>');
    expect(high).not.toContain('<bend');
  });
});

describe('slides and legato', () => {
  it('slides in by grace notes, slides 1 and 2, and slurs (worked example 4)', () => {
    const [low, high, mainLow, mainHigh] = notes('q 3/10(in:-1)+2/10(in:-1)', { chords: 'F' });
    expect(low).toContain('<grace slash="yes"/><pitch><step>E</step><octave>4</octave></pitch>');
    expect(high).toContain(
      '<chord/><pitch><step>G</step><alter>1</alter><octave>4</octave></pitch>',
    );
    expect(low).toContain('<slide type="start" number="1"');
    expect(high).toContain('<slide type="start" number="2"');
    expect(low).toContain('<slur type="start" number="1"/>');
    expect(low).toContain('<string>3</string><fret>9</fret>');
    expect(mainLow).toContain('<slide type="stop" number="1"');
    expect(mainHigh).toContain('<slide type="stop" number="2"');
  });

  it.each([
    ['in:below', '<scoop/>'],
    ['in:above', '<plop/>'],
    ['out:up', '<doit/>'],
    ['out:down', '<falloff/>'],
  ])('%s to no definite pitch', (technique, expected) => {
    expect(notations(`q 3/7(${technique})`)).toContain(`<articulations>${expected}`);
  });

  it('slurs a slide that is not plucked again, and only that', () => {
    const slid = 'q 3/5 3/7(s)';
    expect(notations(slid)).toContain(
      '<slide type="start" number="1" line-type="solid"/><slur type="start"',
    );
    expect(notations(slid, 1)).toContain('<slur type="stop"');
    const plucked = 'q 3/5 3/7(S)';
    expect(notations(plucked)).toContain('<slide type="start"');
    expect(notations(plucked) + notations(plucked, 1)).not.toContain('<slur');
  });

  it('starts and stops hammer-on and pull-off with a slur, stop before start', () => {
    const line = 'e 3/5 3/7(h) 3/5(p)';
    expect(technical(line)).toBe('<hammer-on type="start" number="1">H</hammer-on>');
    expect(technical(line, 1)).toBe(
      '<hammer-on type="stop" number="1"/><pull-off type="start" number="1">P</pull-off>',
    );
    expect(notations(line, 1)).toContain(
      '<slur type="stop" number="1"/><slur type="start" number="1"/>',
    );
  });

  it('ties the source of a hammer-on first', () => {
    // A half note on beat 2 is two tied quarters; the hammer-on leaves the second of them.
    const all = notes('q 3/5 h 3/5 q 3/7(h)');
    expect(all[1]).not.toContain('<hammer-on');
    expect(all[2]).toContain('<hammer-on type="start"');
  });

  it('taps', () => {
    expect(technical('q 3/7(tap)')).toBe('<tap>T</tap>');
  });

  it('writes graces with their own legato', () => {
    const [first, second, main] = notes('q 2/8(h)@g:2/5;2/7~h');
    expect(first).toContain('<grace slash="no"/>');
    expect(first).toContain('<hammer-on type="start" number="1">H');
    expect(second).toContain('<hammer-on type="stop" number="1"/><hammer-on type="start"');
    expect(main).toContain('<hammer-on type="stop" number="1"/>');
    expect(first).not.toContain('<duration');
  });

  it('rakes by x-head graces in the order struck', () => {
    const [six, five, main] = notes('q 3/5@rake:6.5');
    expect(six).toMatch(/<grace.*<notehead>x<.*<other-technical>rake<.*<string>6</u);
    expect(five).toMatch(/<notehead>x<.*<string>5</u);
    expect(main).not.toContain('notehead');
  });
});

describe('ornaments and sound', () => {
  it.each([
    ['Eb4', ' trill-step="half"'],
    ['E4', ' trill-step="whole"'],
    ['F4', ''],
  ])('trills up to %s', (upper, step) => {
    const n = notations(`q 3/7(tr:${upper})`);
    expect(n).toContain(
      `<ornaments><trill-mark${step}/><wavy-line type="start" number="1"/><wavy-line type="stop" number="1"/></ornaments>`,
    );
    expect(write(build(`q 3/7(tr:${upper})`))).toContain(`"trill":"${upper}"`);
  });

  it.each([
    ['vib', 'guitarVibratoStroke'],
    ['vib:wide', 'guitarWideVibratoStroke'],
  ])('%s over all tied notes', (technique, glyph) => {
    const [, first, second] = notes(`h. 3/5 h 3/7(${technique})`, { bars: 2 });
    expect(first).toContain(`<wavy-line type="start" number="1" smufl="${glyph}"/></ornaments>`);
    expect(second).toContain('<ornaments><wavy-line type="stop" number="1"/></ornaments>');
  });

  it('counts the strokes of a tremolo, which a bare tab staff does not show', () => {
    expect(notations('q 3/7@trem3')).toContain('<tremolo type="single">3</tremolo>');
    const both = write(build('q 3/7@trem2'));
    expect(both.match(/<tremolo/gu)).toHaveLength(1);
  });

  it('mutes by the palm in sound and on the page', () => {
    const xml = write(build('e 5/3@pm 5/3@pm 5/5 5/3@pm', { chords: 'C' }), { staves: 'tab' });
    expect(xml.match(/<play><mute>palm<\/mute><\/play>/gu)).toHaveLength(3);
    expect(xml).toMatch(
      /<words>P\.M\.<\/words><\/direction-type><direction-type><dashes type="start" number="1"\/>.*id="t1".*id="t2".*<dashes type="stop" number="1"\/>.*id="t3".*<dashes type="start" number="1"\/>.*id="t4".*<dashes type="stop" number="1"\/>/u,
    );
  });

  it('draws dead and ghost notes', () => {
    const [dead, ghost] = notes('q 3/x5 3/5(ghost)');
    expect(dead).toContain('<notehead>x</notehead>');
    expect(dead).toContain('<step>C</step><octave>4</octave>');
    expect(dead).toContain('<string>3</string><fret>5</fret>');
    expect(ghost).toContain('<notehead parentheses="yes">normal</notehead>');
  });

  it.each([
    ['q 3/5(ring)', '<tied type="let-ring"/>'],
    ['q 3/5@stac', '<articulations><staccato/></articulations>'],
    ['q 3/5@acc', '<articulations><accent/></articulations>'],
    ['q 3/5@ten', '<articulations><tenuto/></articulations>'],
    ['q 3/5@down', '<down-bow/>'],
    ['q 3/5@up', '<up-bow/>'],
    ['q 3/5(f:T)', '<fingering>T</fingering>'],
    ['q 3/5(pk:a)', '<pluck>a</pluck>'],
  ])('%s', (line, expected) => {
    expect(notations(line)).toContain(expected);
  });

  it('a down-strum goes from low to high, on every note', () => {
    const down = notes('q 4/5+3/5+2/5@sdown');
    expect(down.every((n) => n.includes('<arpeggiate direction="up"/>'))).toBe(true);
    expect(notes('q 4/5+3/5@sup')[0]).toContain('<arpeggiate direction="down"/>');
  });

  it('writes harmonics with the pitch they mean', () => {
    // Open G string: 7th fret sounds a twelfth above, D5.
    const [natural] = notes('q 3/7(nat:19)');
    expect(natural).toContain('<harmonic><natural/><sounding-pitch/></harmonic>');
    expect(natural).toContain('<step>D</step><octave>5</octave>');
    expect(natural).toContain('<fret>7</fret>');
    expect(technical('q 3/5(art:12)')).toBe('<harmonic><artificial/></harmonic>');
    expect(technical('q 3/5(pinch:24)')).toBe(
      '<harmonic><artificial/><base-pitch/></harmonic><other-technical>pinch harmonic</other-technical>',
    );
  });
});

describe('harmony', () => {
  const harmony = (symbol: string, o: BuildOptions = {}) =>
    /<harmony>.*?<\/harmony>/u.exec(
      write(build('w 3/5', { chords: symbol, ...o }), { staves: 'tab' }),
    )![0];
  const degree = (value: number, alter: number, type: string) =>
    `<degree print-object="no"><degree-value>${value}</degree-value><degree-alter>${alter}</degree-alter><degree-type>${type}</degree-type></degree>`;

  it.each([
    ['C', '<kind text="">major</kind>'],
    ['F#m7b5', '<kind text="m7b5">half-diminished</kind>'],
    ['Cm(maj7)', '>major-minor</kind>'],
    [
      'Bb7',
      '<root><root-step>B</root-step><root-alter>-1</root-alter></root><kind text="7">dominant</kind>',
    ],
    ['C7sus4', `>suspended-fourth</kind>${degree(7, 0, 'add')}`],
    ['C7#9', `>dominant</kind>${degree(9, 1, 'add')}`],
    ['C7b5', `>dominant</kind>${degree(5, -1, 'alter')}`],
    ['D7/F#', '<bass><bass-step>F</bass-step><bass-alter>1</bass-alter></bass>'],
    [
      'G7alt',
      `<kind text="7alt">dominant</kind>${degree(5, -1, 'alter')}${degree(9, -1, 'add')}${degree(9, 1, 'add')}${degree(13, -1, 'add')}`,
    ],
  ])('%s', (symbol, expected) => {
    expect(harmony(symbol)).toContain(expected);
    expect(harmony(symbol)).not.toContain('numeral');
  });

  it('writes N.C. as kind none', () => {
    expect(harmony('NC')).toBe(
      '<harmony><root><root-step text="">C</root-step></root><kind text="N.C.">none</kind></harmony>',
    );
  });

  it('puts a change inside a note at its own place', () => {
    const xml = write(build('w 3/5', { chords: 'C F' }), { staves: 'tab' });
    expect(xml.match(/<offset>\d+<\/offset>/gu)).toEqual(['<offset>20160</offset>']);
  });
});

describe('the frame', () => {
  it('writes the pickup as implicit bar 0', () => {
    const xml = write(build('e 3/5 | w 3/7', { pickup: 5_040 }), { staves: 'tab' });
    expect(xml).toMatch(/<measure number="0" implicit="yes">.*<measure number="1">/u);
  });

  it.each([
    ['quarter', 100, '<beat-unit>quarter</beat-unit><per-minute>100', 100],
    ['dotted-quarter', 60, '<beat-unit>quarter</beat-unit><beat-unit-dot/><per-minute>60', 90],
    ['half', 71.5, '<beat-unit>half</beat-unit><per-minute>71.5', 143],
    ['eighth', 150, '<beat-unit>eighth</beat-unit><per-minute>150', 75],
  ] as const)('tempo in %s', (unit, bpm, metronome, sound) => {
    const xml = write(build('w 3/5', { tempo: { bpm, unit } }));
    expect(xml).toContain(metronome);
    expect(xml).toContain(`<sound tempo="${sound}"/>`);
  });

  it('writes the swing ratio and which notes it swings (T3)', () => {
    const xml = write(
      build('w 3/5', { feel: { kind: 'swing', unit: '16th', first: 3, second: 2 } }),
    );
    expect(xml).toContain(
      '<swing><first>3</first><second>2</second><swing-type>16th</swing-type></swing>',
    );
  });

  it('writes key and mode; blues has the major signature (D6)', () => {
    const key = (k: string) => /<key>.*?<\/key>/u.exec(write(build('w 3/5', { key: k })))?.[0];
    expect(key('Fm')).toBe('<key><fifths>-4</fifths><mode>minor</mode></key>');
    expect(key('E blues')).toBe('<key><fifths>4</fifths><mode>major</mode></key>');
    expect(write(build('w 3/5', { key: 'E blues' }))).toContain('"mode":"blues"');
  });

  it('writes repeats, their times and endings', () => {
    const p = build('w 3/5 3/5 3/5 3/5');
    const bars: Partial<Bar>[] = [
      { repeatStart: true },
      { ending: [1, 2] },
      { ending: [1, 2], repeatEnd: 3 },
      { ending: [3] },
    ];
    const xml = write({ ...p, bars: p.bars.map((b, i) => ({ ...b, ...bars[i] })) });
    expect(xml.match(/<barline.*?<\/barline>/gu)).toEqual([
      '<barline location="left"><bar-style>heavy-light</bar-style><repeat direction="forward"/></barline>',
      '<barline location="left"><ending number="1, 2" type="start"/></barline>',
      '<barline location="right"><bar-style>light-heavy</bar-style><ending number="1, 2" type="stop"/><repeat direction="backward" times="3"/></barline>',
      '<barline location="left"><ending number="3" type="start"/></barline>',
      '<barline location="right"><bar-style>light-heavy</bar-style><ending number="3" type="discontinue"/></barline>',
    ]);
  });

  it('escapes text, and leaves out what XML cannot hold', () => {
    const xml = writeMusicXml(
      build('w 3/5', {
        title: '<script>alert("1")</script> & \u0000\u0007 end \ud800',
        meta: { source: 'a\rb' },
        marks: [{ kind: 'words', onset: 0, text: ']]> & <b>' }],
      }),
    );
    expect(xml).toContain(
      '<work-title>&lt;script&gt;alert("1")&lt;/script&gt; &amp;  end </work-title>',
    );
    expect(xml).toContain('<words>]]&gt; &amp; &lt;b&gt;</words>');
    expect(xml).toContain('<source>a&#13;b</source>');
    expect(xml).not.toMatch(/<script/u);
  });

  it('names the program and the day it was given', () => {
    const xml = write(build('w 3/5'), { encodingDate: '2026-11-25' });
    expect(xml).toContain(
      '<software>Degreewise</software><encoding-date>2026-11-25</encoding-date>',
    );
    expect(write(build('w 3/5'))).not.toContain('encoding-date');
  });
});

describe('degrees as lyrics (D1, D5)', () => {
  const lyrics = (which: 'chord' | 'key', line: string, o: BuildOptions) =>
    [
      ...write(build(line, o), { degrees: which }).matchAll(
        /<lyric number="(\d)" name="degree">.*?<text>(.*?)<\/text>/gu,
      ),
    ].map((m) => `${m[1]} ${m[2]}`);

  it('writes them once, on the upper staff, the first string on top', () => {
    // G7: B is 3 and D is 5; in C they are 7 and 2.
    const o = { key: 'C', chords: 'G7' };
    expect(lyrics('chord', 'h 3/7+4/9 3/x5', o)).toEqual(['1 5', '2 3']);
    expect(lyrics('key', 'h 3/7+4/9', o)).toEqual(['1 2', '2 7']);
  });

  it('shows start and target of a bend', () => {
    // D7 (worked example 2): C5 bent a whole tone goes from ♭7 to R.
    expect(lyrics('chord', 'h 2/13(bend:D5)', { chords: 'D7' })).toEqual(['1 ♭7→R']);
  });

  it('writes none where there is no chord', () => {
    expect(lyrics('chord', 'h 3/7', { chords: 'NC' })).toEqual([]);
    expect(lyrics('key', 'h 3/7', { chords: 'NC', key: 'C' })).toEqual(['1 2']);
  });
});

describe('two voices and staves', () => {
  const p = build('q 2/5 2/6 - 2/8', { second: 'h 6/0 -', chords: 'C' });

  it('writes staff by staff and voice by voice after backups', () => {
    const xml = write(p);
    const order = [...xml.matchAll(/<(note|backup|forward)\b.*?<\/\1>/gu)].map((m) =>
      m[1] === 'backup' ? '<' : `${/<staff>(\d)/u.exec(m[0])![1]}${/<voice>(\d)/u.exec(m[0])![1]}`,
    );
    expect(order.join(' ')).toBe('11 11 11 11 < 12 12 < 25 25 25 25 < 26 26');
  });

  it('writes an empty second voice as one forward', () => {
    const two = build('w 2/5 2/6', { second: 'w 6/0 -', bars: 2 });
    expect(write(two, { staves: 'tab' })).toContain(
      '<forward><duration>40320</duration><voice>2</voice></forward>',
    );
  });

  it('writes one staff alone without staff numbers', () => {
    for (const staves of ['staff', 'tab'] as const) {
      expect(write(p, { staves })).not.toMatch(/<staff>|<staves>/u);
    }
    expect(write(p, { staves: 'staff' })).not.toContain('<fret>');
  });
});
