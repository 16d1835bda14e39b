import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Phrase } from '../../../../../src/core/phrase/types';
import { formatPitch } from '../../../../../src/core/theory/pitch';
import { checkPhrase } from '../../../../../src/core/validity/check-phrase';
import { decodePhrase, encodeLibrary, encodePhrase } from '../../../../../src/io/json';
import { readPasted } from '../../../../../src/io/quick/pasted';
import { readTextTab } from '../../../../../src/io/text-tab/read/read-text-tab';
import type { ReadTab } from '../../../../../src/io/text-tab/read/tab-reader';
import { writeTextTab } from '../../../../../src/io/text-tab/write/write-text-tab';
import { readSamples } from '../../../../support/samples';

const ORIGIN = { id: 'pasted', now: '2026-11-25T12:00:00Z' };

function read(text: string): ReadTab {
  const result = readTextTab(text, ORIGIN);
  if (!result.ok) throw new Error(JSON.stringify(result.problems));
  expect(checkPhrase(result.value.phrase)).toEqual([]);
  expect(result.value.phrase.voices[0].events.every((e) => e.guessed === true)).toBe(true);
  return result.value;
}

/** `onset/duration string/fret…` in 16ths. */
function told(p: Phrase): string[] {
  return p.voices[0].events.map((e) => {
    const notes = e.notes.map((n) => `${n.string}/${n.kind === 'dead' ? 'x' : n.fret}`);
    return `${e.onset / 2_520}+${e.duration / 2_520} ${notes.join(' ')}`;
  });
}

/** Ways of writing that are common practice wherever tablature is posted as text; the music is ours. */
describe('plain tablature', () => {
  it('in one bar of eighths with names before the lines', () => {
    const { phrase, ignored } = read(`
e|-----------------|
B|---------5-8-----|
G|-----5-7-----7-5-|
D|-5-7-------------|
A|-----------------|
E|-----------------|`);
    expect(told(phrase)).toEqual([
      ...[
        '0+2 4/5',
        '2+2 4/7',
        '4+2 3/5',
        '6+2 3/7',
        '8+2 2/5',
        '10+2 2/8',
        '12+2 3/7',
        '14+2 3/5',
      ],
    ]);
    expect(ignored).toEqual([]);
  });

  it('with chords, hammer-ons, pull-offs, slides, bends, vibrato and dead notes', () => {
    const { phrase } = read(`
   A7                D7
e|-----------------|-----------------|
B|-5h8-8p5-8b10r8--|-7~--------------|
G|---------------7-|-----7/9-9-------|
D|-----------------|-----------x-x---|
A|-----------------|-----------------|
E|-----------------|-----------------|`);
    const notes = phrase.voices[0].events.flatMap((e) => e.notes);
    const marks = notes.map((n) =>
      n.kind === 'dead'
        ? 'x'
        : `${n.fret}${n.attack ?? ''}${n.bend?.shape ?? ''}${n.vibrato === undefined ? '' : '~'}`,
    );
    expect(marks).toEqual([
      ...['5', '8hammer-on', '8', '5pull-off', '8bend-release', '7'],
      ...['7~', '7', '9slide', '9', 'x', 'x'],
    ]);
    const bent = notes[4];
    expect(bent?.kind === 'pitched' && bent.bend?.shape !== 'curl' && bent.bend).toMatchObject({
      target: { letter: 'A', alter: 0, octave: 4 },
    });
    expect(phrase.chords).toEqual([
      { onset: 0, symbol: 'A7' },
      { onset: 40_320, symbol: 'D7' },
    ]);
  });

  it('in triplets, found by their spacing', () => {
    const { phrase } = read(`
e|-------------|
B|-5--8--5--8--|
G|-------------|
D|-------------|
A|-------------|
E|-------------|`);
    expect(told(phrase)).toEqual(['0+4 2/5', '4+4 2/8', '8+4 2/5', '12+4 2/8']);
    const thirds = read(`
e|-------------------------|
B|-5-8-5-8-5-8-5-8-5-8-5-8-|
G|-------------------------|
D|-------------------------|
A|-------------------------|
E|-------------------------|`).phrase;
    expect(thirds.voices[0].tuplets).toHaveLength(4);
    expect(thirds.voices[0].events.map((e) => e.duration)).toEqual(Array(12).fill(3_360));
  });

  it('of two blocks without names, other line ends, other dashes and two digits', () => {
    const block = (a: string, b: string) =>
      [a, b, '--------|', '--------|', '--------|', '--------|'].join('\r\n');
    const { phrase } = read(
      `first\r\n${block('–10–12––|', '–10–––––|')}\r\n\r\nthen\r\n${block('-------|', '-12--7--|')}`,
    );
    expect(phrase.bars).toHaveLength(2);
    expect(phrase.voices[0].events.map((e) => e.notes.map((n) => `${n.string}/${n.fret}`))).toEqual(
      [['1/10', '2/10'], ['1/12'], ['2/12'], ['2/7']],
    );
  });

  it('in another tuning and with a capo, that are told', () => {
    const { phrase } = read(`Capo: 2nd fret
d|-0---|
A|-----|
F#|-----|
D|-----|
A|-0---|
D|-0---|`);
    expect(phrase.instrument.capo).toBe(2);
    expect(phrase.instrument.tuning.map(formatPitch)).toEqual([
      'D4',
      'A3',
      'F#3',
      'D3',
      'A2',
      'D2',
    ]);
    expect(
      phrase.voices[0].events[0]!.notes.map((n) => n.kind === 'pitched' && formatPitch(n.pitch)),
    ).toEqual(['E4', 'B2', 'E2']);
  });

  it('lists what it does not keep, and says where it cannot go on', () => {
    expect(
      read('e|-5v-7s--|\nB|--------|\nG|--------|\nD|-----*--|').ignored.length,
    ).toBeGreaterThan(0);
    const beyond = readTextTab(
      'Capo 1\ne|----5-|\nB|-24---|\nG|------|\nD|------|\nA|------|\nE|------|',
      ORIGIN,
    );
    expect(beyond.ok ? [] : beyond.problems).toMatchObject([{ line: 3, column: 4 }]);
    const uneven = readTextTab(
      'e|-5-|\nB|---|\nG|---|\nD|---|\nA|---|\nE|---|\n\ne|-5-|\nB|---|\nG|---|\nD|---|',
      ORIGIN,
    );
    expect(uneven.ok ? [] : uneven.problems).toMatchObject([{ line: 8 }]);
    expect(readTextTab('no music', ORIGIN)).toMatchObject({ ok: false, problems: [{ line: 1 }] });
  });

  it('with a title over it, which is no chord, tuning or part of the form', () => {
    const tab = ['e', 'B', 'G', 'D', 'A', 'E'].map((s) => `${s}|-5-7-|`).join('\n');
    const titled = (over: string) => read(`${over}\n\n${tab}`).phrase.meta.title;
    expect(titled('Low tide — slow')).toBe('Low tide — slow');
    expect(titled('```\nNo key, no tune\nTuning: standard')).toBe('No key, no tune');
    expect(titled('Title: Low tide')).toBe('Low tide');
    expect(titled('Slide study')).toBe('Slide study');
    for (const none of [
      'Am7  D7',
      '[Verse]',
      '(twice)',
      'let ring throughout',
      'P.M. throughout',
      'Key: A minor',
      '4/4 time',
      'by somebody',
      'w/ slide',
      'h hammer-on',
      'Chorus:',
      'Capo 2',
      'drop D',
      '1 & 2 &',
      '= 120',
      '<pre>',
    ]) {
      expect(titled(none)).toBe('');
    }
  });

  it('with a key where a line is one, and never by its title', () => {
    const tab = 'e|-3-5-|\nB|-----|\nG|-----|\nD|-----|\nA|-----|\nE|-----|';
    const keyed = (over: string) => {
      const { key, meta } = read(`${over}\n${tab}`).phrase;
      return [`${key.tonic.letter}${key.tonic.alter} ${key.mode}`, meta.title];
    };
    expect(keyed('Key: Bbm\nLow tide')).toEqual(['B-1 minor', 'Low tide']);
    expect(keyed('key of A')).toEqual(['A0 major', '']);
    expect(keyed('Key: CM')).toEqual(['C0 major', '']);
    expect(keyed('KEY: C MIN')).toEqual(['C0 minor', '']);
    expect(keyed('A Train Home')).toEqual(['C0 major', 'A Train Home']);
    expect(keyed('A minor inconvenience')).toEqual(['C0 major', 'A minor inconvenience']);
  });

  it('on a neck as long as it plays, up to 24 frets with the capo', () => {
    const at = (fret: number, over = '') =>
      readTextTab(`${over}e|-${fret}-5-|\nB|------|\nG|------|\nD|------|\nA|------|\nE|------|`, {
        id: 'x',
        now: '2026-11-28T00:00:00Z',
      });
    const frets = (r: ReturnType<typeof at>) => r.ok && r.value.phrase.instrument.frets;
    expect([frets(at(22)), frets(at(23)), frets(at(24))]).toEqual([22, 23, 24]);
    expect(at(24, 'Capo 2\n').ok).toBe(false);
  });

  it("with a chord over the names of the strings, which is the first bar's", () => {
    const tab = ['e', 'B', 'G', 'D', 'A', 'E'].map((s) => `${s}|-5-7-|-8-8-|`).join('\n');
    const { chords } = read(`Am     D7\n${tab}`).phrase;
    expect(chords).toEqual([
      { onset: 0, symbol: 'Am' },
      { onset: 40_320, symbol: 'D7' },
    ]);
    // Behind the last note of the bar: on a beat, not lost.
    for (const over of ['Am   D7', 'Am       D7']) {
      const { phrase } = read(`${over}\n${tab.replaceAll('|-8-8-|', '|')}`);
      expect(phrase.chords.map((c) => c.symbol)).toEqual(['Am', 'D7']);
    }
  });

  it('of this program, with its time, graces and rakes', () => {
    const places = (p: Phrase) =>
      p.voices[0].events.map((e) =>
        [
          e.onset,
          e.duration,
          JSON.stringify(e.graces),
          e.rake,
          ...e.notes.map((n) =>
            n.kind === 'dead'
              ? `${n.string}/x`
              : [
                  n.string,
                  n.fret,
                  n.vibrato,
                  n.barDip,
                  n.bend?.shape,
                  n.attack === 'slide-plucked',
                ].join('/'),
          ),
        ].join(' '),
      );
    let compared = 0;
    for (const { name, phrase } of readSamples()) {
      if (phrase.voices.length > 1) continue;
      const text = writeTextTab(phrase, { width: 100, degrees: 'key' });
      const back = readTextTab(text, ORIGIN);
      if (!back.ok) throw new Error(`${name}: ${JSON.stringify(back.problems)}\n${text}`);
      expect({ name, places: places(back.value.phrase) }).toEqual({ name, places: places(phrase) });
      compared++;
    }
    expect(compared).toBeGreaterThanOrEqual(20);
  });

  it.each([
    ['', 'one step', undefined],
    ['', undefined, 'A green book, page 3'],
    ['', undefined, ''],
    ['', undefined, 'one'.repeat(25)],
    ['Over the bar and on, a title of so many words that one line of the page does not hold it'],
    [
      'Over the bar',
      undefined,
      'A source of so many words that one line of the page does not hold it all',
    ],
    ['A major, quarter = 90, straight'],
    ['source: the upper room'],
    ['in the style of nobody', undefined, 'a source'],
    ['title: a word before it'],
  ])(
    'of our own with its title, whatever it is: %j',
    (title: string, styleOf?: string, source?: string) => {
      const { styleOf: _, source: __, ...plain } = readSamples()[0]!.phrase.meta;
      const meta = {
        ...plain,
        title,
        ...(styleOf && { styleOf }),
        ...(source !== undefined && { source }),
      };
      const text = writeTextTab(
        { ...readSamples()[0]!.phrase, meta },
        { width: 66, degrees: 'key' },
      );
      const back = readTextTab(`A letter\n\n${text}`, ORIGIN);
      expect(back.ok && back.value.phrase.meta.title).toBe(title);
    },
  );

  it('by its spacing where our own text was cut so that it cannot stand as it says', () => {
    const ended = readSamples().find(({ phrase }) => phrase.bars.some((b) => b.ending))!.phrase;
    const text = writeTextTab(ended, { width: 100, degrees: 'key' });
    const [whole, cut] = [text, text.replace(' [2.', '    ')];
    expect(cut).not.toBe(whole);
    // A first ending without a second; every length is said to be a guess (`read`).
    expect(read(cut).phrase.voices[0].events.length).toBeGreaterThan(0);
  });

  it('of our own without a chord that stands before the one to its left, as changed counts say', () => {
    const found = readSamples().find(({ phrase }) => phrase.meta.title === 'First Ferry Out')!;
    const text = writeTextTab(found.phrase, { width: 100, degrees: 'key' });
    const chords = /^chord .*$/mu.exec(text)![0];
    const counts = /^count .*$/mu.exec(text)![0];
    const back = readTextTab(
      text
        .replace(chords, `${chords.padEnd(counts.lastIndexOf('4'))}B7 E7`)
        .replace(counts, `${counts}  1`),
      ORIGIN,
    );
    if (!back.ok) throw new Error(JSON.stringify(back.problems));
    expect(back.value.phrase.chords.map((c) => c.symbol)).toEqual(['A7', 'B7']);
    expect(back.value.ignored).toEqual(['the chord E7']);
    // The values still say the time.
    expect(back.value.phrase.voices[0].events.some((e) => e.guessed)).toBe(false);
  });

  const block = (sixth: string, ...rows: string[]) =>
    [
      ...rows,
      ...['e', 'B', 'G', 'D', 'A'].slice(rows.length).map((s) => `${s}|${'-'.repeat(12)}|`),
      `E|${sixth}|`,
    ].join('\n');
  const notes = (text: string) =>
    read(text).phrase.voices[0].events.flatMap((e) =>
      e.notes.map((n) => ({ ...n, palmMute: e.palmMute, at: `${n.string}/${n.fret}` })),
    );

  it('with dips of the bar, waves of any length, and wide ones where the legend says so', () => {
    const text = block('-3v2--5~~~~-', `e|-5~~~~~-8~~-|`);
    expect(notes(text)).toMatchObject([
      { at: '1/5', vibrato: 'narrow' },
      { at: '6/3', barDip: 2 },
      { at: '6/5', vibrato: 'narrow' },
      { at: '1/8', vibrato: 'narrow' },
    ]);
    const told = notes(`${text}\n\n~ vibrato   ~~ wide vibrato`);
    expect(told.map((n) => ('vibrato' in n ? n.vibrato : null))).toEqual([
      'narrow',
      null,
      'narrow',
      'wide',
    ]);
  });

  it('with the lowest string on top, where the names say so', () => {
    const turned = ['E|-0-3--', 'A|-----2', 'D|------', 'G|------', 'B|------', 'e|------'].join(
      '\n',
    );
    expect(notes(turned).map((n) => n.at)).toEqual(['6/0', '6/3', '5/2']);
    // Without names a block lies as the one before it.
    const bare = turned.replaceAll(/^[A-Ga-g]/gmu, '');
    expect(notes(`${turned}\n\n${bare}`).map((n) => n.at)).toEqual([
      ...['6/0', '6/3', '5/2'],
      ...['6/0', '6/3', '5/2'],
    ]);
  });

  it.each([
    ['Tune down half a step', 'Eb4 Bb3 Gb3 Db3 Ab2 Eb2'],
    ['Tuning: D A D G B E', 'E4 B3 G3 D3 A2 D2'],
    ['Tuning: E B G D A E', 'E4 B3 G3 D3 A2 E2'],
    ['Tuning (like drop D): CGCFAD', 'D4 A3 F3 C3 G2 C2'],
    ['Tune down ½ step', 'Eb4 Bb3 Gb3 Db3 Ab2 Eb2'],
    ['Tuned down 1 1/2 steps', 'Db4 Ab3 E3 B2 Gb2 Db2'],
    ['Tuned down one and a half steps', 'Db4 Ab3 E3 B2 Gb2 Db2'],
    ['Tuned down a step and a half', 'Db4 Ab3 E3 B2 Gb2 Db2'],
    ['Tuned down two whole steps', 'C4 G3 Eb3 Bb2 F2 C2'],
    ['Tuning: drop D, half a step down', 'Eb4 Bb3 Gb3 Db3 Ab2 Db2'],
    ['Drop D tuning', 'E4 B3 G3 D3 A2 D2'],
    ['in tune with the record', 'E4 B3 G3 D3 A2 E2'],
  ])('tuned as the words over it say: %s', (words, tuning) => {
    const { phrase } = read(`${words}\n${block('-0-3--------')}`);
    expect(phrase.instrument.tuning.map(formatPitch).join(' ')).toBe(tuning);
  });

  it('words behind the last bar line are told and no notes; palm mutes may stand beneath', () => {
    const text = `${block('-0-0-3------').replace('E|-0-0-3------|', 'E|-0-0-3------|  x2')}\n  PM---`;
    expect(notes(text).map((n) => [n.at, n.palmMute])).toEqual([
      ['6/0', true],
      ['6/0', true],
      ['6/3', undefined],
    ]);
    expect(read(text).ignored).toEqual(["'x2' behind the bar line"]);
  });

  it('signs of our own that hold a fret are no notes of their own', () => {
    const { phrase, ignored } = read(
      ['e|-8pb10r8--5tr7--5<17>--5<PH>--5=--g3h5---|', ...'BGDAE']
        .join(`\n`)
        .replaceAll(/\n([BGDAE])/gu, `\n$1|${'-'.repeat(41)}|`),
    );
    const notes = phrase.voices[0].events.flatMap((e) => e.notes);
    expect(notes.map((n) => n.fret)).toEqual([8, 5, 5, 5, 5, 5]);
    expect(notes).toMatchObject([
      { bend: { shape: 'pre-bend-release', target: { letter: 'D', octave: 5 } } },
      { trill: { upper: { letter: 'B', octave: 4 } } },
      { harmonic: { kind: 'artificial', above: 12 } },
      { harmonic: { kind: 'pinch', above: 12 } },
      { letRing: true },
      {},
    ]);
    expect(ignored.join()).toMatch(/a grace note/u);
  });

  it('takes its time by the length of what is pasted, whatever stands in it', () => {
    // Either went on for minutes: more tries with each sign of the row, or with the square of the spaces.
    const mutes = `${block('-0-0-3------')}\n  ${'P.M. '.repeat(60)}x`;
    const spaces = block('-0-0-3------').replace(/\|$/u, `|${' '.repeat(60_000)}.`);
    for (const text of [mutes, spaces]) expect(notes(text)).toHaveLength(3);
  });

  it('never throws, whatever is pasted', () => {
    const piece = fc.constantFrom(
      'e|',
      '-',
      '5',
      '12',
      'h',
      'b',
      '|',
      '\n',
      'x',
      '/',
      '~',
      '(',
      '<',
      ' ',
      '7b9r7',
      '7pb9',
      'tr',
      '<17>',
      '=',
      'g3',
      'A7',
      'B|---5---|\n',
    );
    fc.assert(
      fc.property(
        fc.array(piece, { maxLength: 120 }).map((a) => a.join('')),
        (text) => {
          const result = readPasted(text, ORIGIN);
          if (result.ok) expect(checkPhrase(result.value.phrase)).toEqual([]);
        },
      ),
      { numRuns: 1_500, seed: 5 },
    );
    const line = fc.stringMatching(/^[-0-9|hpbx/~]{8,30}$/u);
    fc.assert(
      fc.property(fc.array(line, { minLength: 6, maxLength: 6 }), (lines) => {
        const result = readTextTab(lines.join('\n'), ORIGIN);
        if (result.ok) expect(checkPhrase(result.value.phrase)).toEqual([]);
        else for (const p of result.problems) expect(p.line).toBeGreaterThan(0);
      }),
      { numRuns: 500, seed: 6 },
    );
  });
});

describe('what is pasted', () => {
  it('is told apart', () => {
    const kind = (text: string) => {
      const r = readPasted(text, ORIGIN);
      return r.ok ? r.value.kind : r.problems[0]!.message;
    };
    expect(kind('q 3:5 7')).toBe('quick');
    expect(kind('e|-5-|\nB|---|\nG|---|\nD|---|\nA|---|\nE|---|')).toBe('text tab');
    expect(kind(readSamples()[0]!.text)).toBe('json');
    // Not read as quick text, in which every sign of it would be a mistake.
    expect(kind('e|--5--\nB|---8-')).toBe('these are 2 lines of tablature');
    expect(kind('A 3:5\nq 5 - 7')).not.toMatch(/tablature/u);
  });

  it('is refused where it is a library without a phrase', () => {
    const read = readPasted(
      encodeLibrary({ format: 'degreewise-library', version: 2, phrases: [] }),
      ORIGIN,
    );
    expect(read.ok ? '' : read.problems[0]!.message).toBe('the library holds no phrase');
  });
});

describe('what was pasted can be stored', () => {
  const line = (name: string, frets: string) => `${name}|${frets.padEnd(16, '-')}|`;
  it.each([
    ['a bass with four strings', 'GDAE', 'G2 D2 A1 E1'],
    ['a bass with five strings', 'GDAEB', 'G2 D2 A1 E1 B0'],
    ['a guitar with six strings', 'eBGDAE', 'E4 B3 G3 D3 A2 E2'],
    ['a guitar with seven strings', 'eBGDAEB', 'E4 B3 G3 D3 A2 E2 B1'],
  ])('%s', (_name, names, tuning) => {
    const text = [...names].map((n, i) => line(n, i === 2 ? '--3--5--7' : '')).join('\n');
    const { phrase } = read(text);
    expect(phrase.instrument.tuning.map(formatPitch).join(' ')).toBe(tuning);
    expect(decodePhrase(encodePhrase(phrase))).toEqual({ ok: true, value: phrase });
  });

  it('with a slide from further than an octave below, which has no beginning then', () => {
    const { phrase } = read(
      [line('e', '-g2/15---'), ...['B', 'G', 'D', 'A', 'E'].map((n) => line(n, ''))].join('\n'),
    );
    const [note] = phrase.voices[0].events[0]!.notes;
    expect(note).toMatchObject({ fret: 15, slideIn: { kind: 'indefinite', from: 'below' } });
    encodePhrase(phrase);
  });

  it('with more moments in a bar than it can hold, which becomes several', () => {
    const frets = Array.from({ length: 200 }, (_, i) => i % 10);
    const empty = '-'.repeat(400);
    const text = [
      `e|${frets.map((f) => `${f}-`).join('')}|`,
      ...['B', 'G', 'D', 'A', 'E'].map((n) => `${n}|${empty}|`),
    ].join('\n');
    const { phrase, ignored } = read(text);
    const read200 = phrase.voices[0].events.flatMap((e) => e.notes.map((n) => n.fret));
    expect(read200).toEqual(frets);
    expect(phrase.bars).toHaveLength(7);
    expect(ignored).toEqual(['a bar line after 200 moments, read as 7 bars']);
    encodePhrase(phrase);
  });

  it('and what is lost is counted by notes', () => {
    const { ignored } = read(
      [line('e', '-<6>-<6>-<6>-'), ...['B', 'G', 'D', 'A', 'E'].map((n) => line(n, ''))].join('\n'),
    );
    expect(ignored).toEqual(['a harmonic over fret 6 in 3 places']);
  });
});
