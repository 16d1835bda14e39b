import { strToU8, zipSync } from 'fflate';
import { describe, expect, it } from 'vitest';
import { run } from '../../../src/cli/run';
import type { Phrase } from '../../../src/core/phrase/types';
import { decodePhrase, encodeLibrary, encodePhrase } from '../../../src/io/json';
import { decodeLibrary } from '../../../src/io/library/decode';
import { writeMxl } from '../../../src/io/musicxml/package/mxl';
import { writeMusicXml } from '../../../src/io/musicxml/write/write-musicxml';
import { build } from '../../support/build';
import { type MemoryOptions, memoryIo } from '../../support/memory-io';

/** Worked example 2 in a phrase: ♭7→R bent over D7, then a line in the key of G. */
const PHRASE: Phrase = {
  ...build('q 2/13(bend:D5) e 2/10 2/8 q 3/9 -', {
    chords: 'D7',
    key: 'G',
    title: 'Mooring line',
    id: 'mooring',
  }),
};
const JSON_TEXT = encodePhrase(PHRASE);

async function degreewise(args: readonly string[], options: MemoryOptions = {}) {
  const io = memoryIo({ ...options, files: { 'a.json': JSON_TEXT, ...options.files } });
  const code = await run(args, io);
  const text = (path: string) => new TextDecoder().decode(io.disk.get(path));
  return { code, out: io.stdout(), err: io.stderr(), disk: io.disk, text };
}

function phraseIn(text: string): Phrase {
  const read = decodePhrase(text);
  if (!read.ok) throw new Error(read.problems[0]?.message);
  return read.value;
}

describe('check', () => {
  it('says what a file holds', async () => {
    const { code, out, err } = await degreewise(['check', 'a.json']);
    expect([code, err]).toEqual([0, '']);
    expect(out).toBe("a.json: ok\n  'Mooring line': 1 bar, 4 notes, playable as written\n");
    const short = { files: { 's.quick': '[C] {C7} q 3:5 | w 3:5' } };
    const { out: pickup } = await degreewise(['check', 's.quick'], short);
    expect(pickup).toContain('1 bar and a pickup, 2 notes');
  });

  it('tells what cannot be played without calling the file wrong', async () => {
    const wide = encodePhrase(build('w 1/1+3/9', { title: 'Wide' }));
    const { code, out } = await degreewise(['check', 'w.json'], { files: { 'w.json': wide } });
    expect(code).toBe(0);
    expect(out).toMatch(/not playable as written:\n {4}bar 1, beat 1, string \d: .*reach/u);
  });

  it('reads every format by what is in it, whatever its ending', async () => {
    const xml = writeMusicXml(PHRASE);
    const files = {
      'one.txt': JSON_TEXT,
      'two.json': xml,
      'three.xml': writeMxl(xml),
      'four.musicxml': new Uint8Array([0xff, 0xfe, ...Buffer.from(xml, 'utf16le')]),
      lib: encodeLibrary({ format: 'degreewise-library', version: 2, phrases: [PHRASE] }),
      '-': JSON_TEXT,
    };
    const { code, out, err } = await degreewise(['check', ...Object.keys(files)], { files });
    expect(err).toBe('');
    expect(code).toBe(0);
    expect(out.match(/'Mooring line': 1 bar, 4 notes/gu)).toHaveLength(6);
    expect(out).toContain('lib: ok, a library of 1 phrase\n');
  });

  it('goes on after a file that is wrong, and ends with 1', async () => {
    const files = { 'b.json': '{"format": ' };
    const { code, out, err } = await degreewise(['check', 'b.json', 'none.json', 'a.json'], {
      files,
    });
    expect(code).toBe(1);
    expect(out).toContain('a.json: ok');
    expect(err).toMatch(/^b\.json: line 1:\d+: the text ends too early/mu);
    expect(err).toMatch(/^none\.json: there is no such file/mu);
  });

  it('shows how far it is at a terminal only, and wipes it away', async () => {
    const many = ['check', 'a.json', 'a.json'];
    expect((await degreewise(many)).err).toBe('');
    const { err } = await degreewise(many, { terminal: 60 });
    expect(err).toContain('[1/2] a.json');
    expect(err).toContain('[2/2] a.json');
    expect(err.endsWith('\r')).toBe(true);
  });
});

describe('show', () => {
  it('prints text tab as wide as the terminal', async () => {
    const narrow = await degreewise(['show', 'a.json'], { terminal: 40 });
    expect(narrow.out).toContain('degree   ♭7→R');
    for (const l of narrow.out.split('\n')) expect(l.length).toBeLessThanOrEqual(40);
    const columns = await degreewise(['show', 'a.json'], { env: { COLUMNS: '50' } });
    expect(Math.max(...columns.out.split('\n').map((l) => l.length))).toBeGreaterThan(40);
  });

  it('is plain ASCII where the locale has no musical signs', async () => {
    const { out } = await degreewise(['show', 'a.json'], {
      env: { LC_ALL: 'C', LANG: 'en_US.UTF-8' },
    });
    expect(out).toContain('b7>R');
    expect(out).toMatch(/^[\x20-\x7e\n]*$/u);
    const utf8 = await degreewise(['show', 'a.json'], { env: { LANG: 'de_DE.utf8' } });
    expect(utf8.out).toContain('♭7→R');
  });

  it('shows key degrees where there are no chords', async () => {
    const files = { 'k.json': encodePhrase(build('w 3/4', { key: 'E' })) };
    const { out } = await degreewise(['show', 'k.json'], { files });
    expect(out).toMatch(/^in key +5$/mu);
  });

  it('lists one phrase as an object', async () => {
    const { code, out } = await degreewise(['show', '--json', 'a.json']);
    expect(code).toBe(0);
    const read: { notes: { chordDegree: string }[] } = JSON.parse(out);
    expect(Object.keys(read)).toEqual(['notes']);
    // C5, A4, G4 and E4 over D7 (common practice).
    expect(read.notes.map((n) => n.chordDegree)).toEqual(['b7', '5', '4', '2']);
  });

  it('lists several phrases with file and title', async () => {
    const library = encodeLibrary({
      format: 'degreewise-library',
      version: 2,
      phrases: [PHRASE, { ...PHRASE, id: 'other', meta: { ...PHRASE.meta, title: 'Other' } }],
    });
    const { out } = await degreewise(['show', '--json', 'a.json', 'l.json'], {
      files: { 'l.json': library },
    });
    const read: { file: string; title: string; notes: unknown[] }[] = JSON.parse(out);
    expect(read.map((x) => [x.file, x.title, x.notes.length])).toEqual([
      ['a.json', 'Mooring line', 4],
      ['l.json', 'Mooring line', 4],
      ['l.json', 'Other', 4],
    ]);
  });
});

describe('convert', () => {
  it.each(['x.json', 'x.musicxml', 'x.xml', 'x.mxl'])('to %s and back', async (name) => {
    const there = await degreewise(['convert', 'a.json', '-o', name]);
    expect([there.code, there.out]).toEqual([0, `wrote ${name}\n`]);
    const back = await degreewise(['convert', name, '-o', 'back.json'], {
      files: { [name]: there.disk.get(name)! },
    });
    expect([back.code, back.err]).toEqual([0, '']);
    const { voices, chords, key } = phraseIn(back.text('back.json'));
    expect({ voices, chords, key }).toEqual({
      voices: PHRASE.voices,
      chords: PHRASE.chords,
      key: PHRASE.key,
    });
  });

  it('to text', async () => {
    const { text } = await degreewise(['convert', 'a.json', '-o', 'a.txt']);
    expect(text('a.txt')).toMatch(/^Mooring line\n/u);
  });

  it('never replaces a file without --force', async () => {
    const files = { 'x.json': 'precious' };
    const kept = await degreewise(['convert', 'a.json', '-o', 'x.json'], { files });
    expect([kept.code, kept.text('x.json')]).toEqual([2, 'precious']);
    expect(kept.err).toContain('--force');
    const replaced = await degreewise(['convert', 'a.json', '-o', 'x.json', '--force'], { files });
    expect([replaced.code, replaced.text('x.json')]).toEqual([0, JSON_TEXT]);
  });

  it('writes several files into a folder, in the format named', async () => {
    const files = { 'in/b.json': JSON_TEXT };
    const { code, disk } = await degreewise(
      ['convert', 'a.json', 'in/b.json', '-o', 'out', '--format', 'musicxml'],
      { files },
    );
    expect(code).toBe(0);
    expect([...disk.keys()].filter((k) => k.startsWith('out/'))).toEqual([
      'out/a.musicxml',
      'out/b.musicxml',
    ]);
  });

  it('keeps a library whole in JSON and takes it apart otherwise', async () => {
    const phrases = [PHRASE, { ...PHRASE, id: 'other' }];
    const files = {
      'l.json': encodeLibrary({ format: 'degreewise-library', version: 2, phrases }),
    };
    const whole = await degreewise(['convert', 'l.json', '-o', 'copy.json'], { files });
    expect(decodeLibrary(whole.text('copy.json'))).toMatchObject({ value: { phrases } });
    const apart = await degreewise(['convert', 'l.json', '-o', 'out/', '--format', 'mxl'], {
      files,
    });
    expect([...apart.disk.keys()].filter((k) => k.startsWith('out/'))).toEqual([
      'out/l-1.mxl',
      'out/l-2.mxl',
    ]);
    const one = await degreewise(['convert', 'l.json', '-o', 'one.mxl'], { files });
    expect([one.code, one.disk.has('one.mxl')]).toEqual([2, false]);
  });

  it.each([
    [['-o', 'x.mp3'], 'ending'],
    [['-o', 'x'], 'ending'],
    [['-o', 'x.json', '--format', 'mxl'], 'does not go with'],
    [['-o', 'folder'], '--format'],
    [['b/a.json', '-o', 'out', '--format', 'mxl'], "the name 'a'"],
    [['b/c.json', '-o', 'x.json'], 'names a folder'],
    [['b/c.json', '-o', 'there'], 'is a file and no folder'],
  ])('refuses %j before it reads anything', async (more, says) => {
    const files = { there: 'x', 'b/a.json': JSON_TEXT, 'b/c.json': JSON_TEXT };
    const r = await degreewise(['convert', 'a.json', ...more], { files, folders: ['folder'] });
    expect(r.code).toBe(2);
    expect(r.err).toContain(says);
    expect([...r.disk.keys()].sort()).toEqual(['a.json', 'b/a.json', 'b/c.json', 'there']);
  });
});

describe('move', () => {
  it('prints before, after and the report (worked example 2)', async () => {
    const { code, out } = await degreewise(['move', 'a.json', '--chord', 'G7']);
    expect(code).toBe(0);
    expect(out.indexOf('before')).toBeLessThan(out.indexOf('after'));
    expect(out).toContain('D7 to G7: up 5 semitones');
    expect(out).toMatch(/1 +1 +2\/13 +C5 ♭7 bent to D5 R +→ +2\/18 +F5 ♭7 bent to G5 R/u);
  });

  it('reads numerals in the key of the phrase', async () => {
    const { out } = await degreewise(['move', 'a.json', '--chord', 'I7']);
    expect(out).toContain('D7 to G7');
  });

  it('marks what changed and says why', async () => {
    const { out } = await degreewise(['move', 'a.json', '--chord', 'Gmaj7']);
    expect(out).toMatch(/18b19\*|19b20\*|\d+b\d+\*/u);
    expect(out).toMatch(/\* adapted \(M4\): ♭7 becomes 7/u);
    expect(out).toContain('*  changed, see the report');
  });

  it('offers suggestions with hold, and makes them when asked', async () => {
    const files = { 'h.json': encodePhrase(build('w 3/7=D', { chords: 'Bb7', key: 'Bb blues' })) };
    const held = ['move', 'h.json', '--chord', 'Eb7', '--way', 'hold'];
    // Worked example 5: D over E♭7 is 7; D♭, ♭7, is suggested.
    const asked = await degreewise(held, { files });
    expect(asked.out).toContain('Suggestions, not applied:');
    expect(asked.out).toMatch(/D4 3 +→ +3\/7 +D4 7/u);
    const adapted = await degreewise([...held, '--adapt'], { files });
    expect(adapted.out).toMatch(/D4 3 +→ +3\/6 +D♭4 ♭7/u);
  });

  it('writes a phrase of its own that knows its parent', async () => {
    const r = await degreewise(['move', 'a.json', '--key', 'Ab', '-o', 'm.json']);
    expect([r.code, r.out]).toEqual([0, 'wrote m.json\n']);
    const moved = phraseIn(r.text('m.json'));
    expect(moved).toMatchObject({
      id: 'new-1',
      parent: 'mooring',
      key: { tonic: { letter: 'A', alter: -1 } },
      meta: { title: 'Mooring line in A♭', modified: '2026-11-25T10:00:00.000Z' },
    });
  });

  it('joins moves in the order they are written, and makes several phrases of one', async () => {
    const r = await degreewise([
      'move',
      'a.json',
      '--key',
      'F',
      '--chord',
      'I7,IV7',
      '-o',
      'm.json',
    ]);
    expect([r.code, r.out]).toEqual([0, 'wrote m.json\n']);
    const { phrases } = JSON.parse(r.text('m.json')) as { phrases: Phrase[] };
    expect(phrases.map((p) => p.meta.title)).toEqual([
      'Mooring line over I7 in F',
      'Mooring line over IV7 in F',
    ]);
    expect(phrases.map((p) => p.chords[0]!.symbol)).toEqual(['F7', 'Bb7']);
    const keys = await degreewise([
      'move',
      'a.json',
      '--key',
      'all',
      '--format',
      'quick',
      '-o',
      'o/',
    ]);
    expect([...keys.disk.keys()].filter((k) => k.startsWith('o/'))).toHaveLength(11);
  });

  it('offers ways out as options, and they do what they say', async () => {
    const files = { 'v.quick': new TextEncoder().encode('[F] {F7} q 6:1~ 4:1 3:2 r') };
    const asked = await degreewise(['move', 'v.quick', '--key', 'E'], { files });
    expect(asked.out).toMatch(/since E with its vibrato \(bar 1,\s+beat 1\)/u);
    const option = /--without (\S+:vibrato) /u.exec(asked.out)?.[1];
    expect(option).toBeDefined();
    const args = ['move', 'v.quick', '--key', 'E', '--without', option!];
    const without = await degreewise(args, { files });
    expect(without.out).not.toContain('It can also be had');
    expect(without.out).toContain('without the vibrato, as was asked');
  });

  it('refuses to leave out a sign that is nowhere', async () => {
    const asked = async (sign: string) => {
      const r = await degreewise(['move', 'a.json', '--key', 'E', '--without', sign]);
      expect([r.code, r.out]).toEqual([1, '']);
      return r.err;
    };
    expect(await asked('n99:vibrato')).toContain('--without n99:vibrato: there is no note n99');
    expect(await asked('n1:vibrato')).toContain('note n1 has no vibrato');
  });

  it('says where a part is chosen of what is no score', async () => {
    const { code, err } = await degreewise(['check', 'a.json', '--part', '99']);
    expect(code).toBe(0);
    expect(err).toContain('a.json: part can be chosen of a score or a MIDI file, and this is none');
    const files = { 's.musicxml': writeMusicXml(PHRASE) };
    const score = await degreewise(['check', 's.musicxml', '--part', '1'], { files });
    expect([score.code, score.err]).toEqual([0, '']);
  });

  it('says up to which fret a capo goes', async () => {
    const args = ['move', 'a.json', '--instrument', 'dropD capo 99'];
    const { code, err } = await degreewise(args);
    expect(code).toBe(1);
    expect(err).toContain('there is no fret 99 for the capo');
    expect(err).toContain('name one up to 21');
  });

  it('says for which of several it is that a wish could not be kept', async () => {
    const files = { 'v.quick': new TextEncoder().encode('[F] {F7} q 6:1~ 4:1 3:2 r') };
    const args = ['move', 'v.quick', '--key', 'Bb,E'];
    const written = await degreewise([...args, '-o', 'o/'], { files });
    expect(written.err).toMatch(/^v\.quick, in E: an octave higher than asked, [^\n]*\n$/u);
    const shown = await degreewise(args, { files });
    expect(shown.out.match(/^Moved .*$/gmu)).toEqual(['Moved in Bb', 'Moved in E']);
    const wrong = await degreewise(['move', 'v.quick', '--chord', 'I7', '--octaves', '3'], {
      files,
    });
    expect(wrong.err).not.toContain('over I7');
    const several = await degreewise(['move', 'v.quick', '--chord', 'I7,V7', '--octaves', '3'], {
      files,
    });
    expect(several.err).toContain('v.quick: over V7: the moved notes do not fit');
  });

  it('writes several files into a folder in their own formats', async () => {
    const files = { 'b.musicxml': writeMusicXml(PHRASE), 'c.mxl': writeMxl(writeMusicXml(PHRASE)) };
    const args = ['move', 'a.json', 'b.musicxml', 'c.mxl', '--steps', '-2', '-o', 'out'];
    const r = await degreewise(args, { files });
    expect([r.code, r.err]).toEqual([0, '']);
    expect([...r.disk.keys()].filter((k) => k.startsWith('out/'))).toEqual([
      'out/a.json',
      'out/b.musicxml',
      'out/c.mxl',
    ]);
  });

  it('keeps a blues a blues when only the tonic is typed', async () => {
    const files = { 'b.json': encodePhrase(build('w 3/5', { chords: 'C7', key: 'C blues' })) };
    const bare = await degreewise(['move', 'b.json', '--key', 'F', '-o', 'm.json'], { files });
    expect(phraseIn(bare.text('m.json')).key.mode).toBe('blues');
    const named = await degreewise(['move', 'b.json', '--key', 'F major', '-o', 'm.json'], {
      files,
    });
    expect(phraseIn(named.text('m.json')).key.mode).toBe('major');
  });

  it('refuses what does not go with the phrase, naming the file', async () => {
    const minor = await degreewise(['move', 'a.json', '--key', 'Am']);
    expect(minor.code).toBe(1);
    expect(minor.err).toMatch(/^a\.json: .*other mode/u);
    const lane = await degreewise(['move', 'a.json', '--lane', 'C | F', '-o', 'm.json']);
    expect([lane.code, lane.disk.has('m.json')]).toEqual([1, false]);
    expect(lane.err).toContain('2 bars');
  });

  it('says when an option has no effect', async () => {
    const { err } = await degreewise(['move', 'a.json', '--steps', '1', '--octave', 'up']);
    expect(err).toContain('--octave changes nothing');
  });

  it('tells what could not be kept even when it writes', async () => {
    // Worked example 1 to D7 by shape: fret 0 cannot be bent, so the shape goes up an octave.
    const double = build('w 3/5(bend:D4)+2/5(bend:F4)', { chords: 'G7', key: 'G' });
    const files = { 'd.json': encodePhrase(double) };
    const r = await degreewise(['move', 'd.json', '--chord', 'D7', '-o', 'm.json'], { files });
    expect(r.code).toBe(0);
    expect(r.err).toMatch(/^d\.json: .*\((M7|M12)\)$/mu);
  });
});

describe('positions', () => {
  it('prints the phrase in several areas of the neck', async () => {
    const { code, out } = await degreewise(['positions', 'a.json', '--count', '2']);
    expect(code).toBe(0);
    expect(out).toMatch(/^Mooring line: \d positions?, the easiest first$/mu);
    expect(out).toContain('1. around fret ');
    expect(out).toContain('♭7→R');
  });

  it('says what makes each of them hard', async () => {
    const line = build('q 3/5 3/7 3/12 3/14', { key: 'C' });
    const files = { 'l.json': encodePhrase(line) };
    const { out } = await degreewise(['positions', 'l.json', '--count', '3'], { files });
    expect(out).toMatch(/^ {3}.*(shift from fret \d+ to fret \d+|changes of string).*\(\d/mu);
  });

  it('lists them as JSON with reasons that add up, by part where asked', async () => {
    const long = build('e 3/5 3/7 2/5 2/8 2/5 3/7 3/5 4/7 '.repeat(8), { key: 'C' });
    const files = { 'l.json': encodePhrase(long) };
    const whole = await degreewise(['positions', 'l.json', '--json'], { files });
    const { positions } = JSON.parse(whole.out);
    expect(positions).toHaveLength(3);
    for (const { effort, reasons, notes } of positions) {
      const sum = reasons.reduce((t: number, r: { cost: number }) => t + r.cost, 0);
      expect(sum).toBeCloseTo(effort, 0);
      expect(notes).toHaveLength(64);
    }
    const { out } = await degreewise(['positions', 'l.json', '--json', '--parts'], { files });
    const { parts } = JSON.parse(out);
    expect(parts.map((x: { bars: number[] }) => x.bars)).toEqual([
      [1, 4],
      [5, 8],
    ]);
    const text = await degreewise(['positions', 'l.json', '--parts'], { files });
    expect(text.out).toMatch(/bars 5 to 8: 3 positions, the easiest first/u);
  });

  it('says with --easier what is hard where it lies, and what would be easier', async () => {
    const p = build('q 3/5 2/5 1/1 3/7', { key: 'C', chords: 'Am7', meta: { level: 2 } });
    const files = { 'l.json': encodePhrase(p) };
    const { out } = await degreewise(['positions', 'l.json', '--easier'], { files });
    expect(out).toMatch(
      /: 5 of 5 for the hands, very hard; level 2 set by its teacher\n\nBar 1, /u,
    );
    expect(out).toMatch(
      /^ {2}- F on string 2 fret 6, not string 1 fret 1 \(every pitch and role/mu,
    );
    const listed = await degreewise(['positions', 'l.json', '--easier', '--json'], { files });
    const { step, level, hard } = JSON.parse(listed.out);
    expect([step, level]).toEqual([5, 2]);
    const [way] = hard[0].easier;
    expect(way.effort.after).toBeLessThan(way.effort.before);
    expect(way.notes.map((n: { string: number }) => n.string)).toEqual([3, 2, 2, 3]);
    const both = await degreewise(['positions', 'l.json', '--easier', '--parts'], { files });
    expect(both.err).toContain('--parts and --easier do not go together');
  });
});

describe('what people type wrong', () => {
  it('is told in a sentence with exit code 2', async () => {
    const { code, out, err } = await degreewise(['show', 'a.json', '--colour']);
    expect([code, out]).toEqual([2, '']);
    expect(err).toContain(
      'there is no option --colour here. The options are --help, --part, --staff, --octave, --json.',
    );
  });

  it('gets help for each command', async () => {
    for (const name of [
      'check',
      'show',
      'convert',
      'move',
      'vary',
      'positions',
      'neck',
      'shapes',
    ]) {
      const { code, out } = await degreewise([name, '--help']);
      expect(code).toBe(0);
      expect(out).toMatch(new RegExp(`^degreewise ${name} `, 'u'));
    }
    expect((await degreewise(['--help'])).out).toContain('degreewise convert');
  });
});

const BILLION = `<?xml version="1.0"?>
<!DOCTYPE score-partwise [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">
<!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;"><!ENTITY d "&c;&c;&c;&c;&c;&c;&c;&c;">]>
<score-partwise version="4.0"><work><work-title>&d;</work-title></work></score-partwise>`;

function bomb(): Uint8Array {
  return zipSync({
    'META-INF/container.xml': strToU8(
      '<container><rootfiles><rootfile full-path="score.xml"/></rootfiles></container>',
    ),
    'score.xml': [new Uint8Array(60_000_000).fill(32), { level: 9 }],
  });
}

describe('bad input', () => {
  const wrong = (pointer: string, value: unknown) => {
    const copy = JSON.parse(JSON_TEXT);
    const path = pointer.split('/').slice(1);
    const last = path.pop()!;
    path.reduce((at, k) => at[k], copy)[last] = value;
    return JSON.stringify(copy);
  };

  it.each([
    ['cut off', JSON_TEXT.slice(0, 400), /line \d+:\d+: the text ends too early/u],
    ['a wrong type', wrong('/voices/0/events/1/onset', 'soon'), /\/voices\/0\/events\/1\/onset/u],
    [
      'a fret that is not there',
      wrong('/voices/0/events/1/notes/0/fret', 99),
      /bar 1, beat 2, string 2/u,
    ],
    ['no format', '{}', /\/format/u],
    ['a list', '[1, 2]', /no phrase/u],
    ['an empty file', '', /the file is empty/u],
    ['anything', 'hello', /neither a phrase nor a MusicXML score/u],
    ['a MIDI file', 'MThd\0\0\0\x06', /MIDI/u],
    ['entities', BILLION, /line 3:\d+: .*entities/u],
    ['a cut score', writeMusicXml(PHRASE).slice(0, 2_000), /line \d+/u],
    ['a zip bomb', bomb(), /larger|bytes|more than|MiB/u],
    ['no text', new Uint8Array([0x7b, 0xff, 0xfe, 0x80]), /UTF-8/u],
  ])('%s', async (_, content, says) => {
    const r = await degreewise(['convert', 'bad', '-o', 'x.json'], { files: { bad: content } });
    expect(r.code).toBe(1);
    expect(r.err).toMatch(says);
    expect(r.err).toMatch(/^bad: /u);
    expect(r.err).not.toMatch(/\n {2,}at /u);
    expect([...r.disk.keys()].sort()).toEqual(['a.json', 'bad']);
  });

  it('lets no text command the terminal', async () => {
    const title = 'a‮b<script>alert(1)</script>';
    const files = { 't.json': encodePhrase(build('w 3/5', { title })) };
    const { code, out } = await degreewise(['show', 't.json'], { files });
    expect(code).toBe(0);
    expect(out).toContain('a\\u202eb<script>');
    const named = await degreewise(['show', '\u001b[2Jx.json']);
    expect(named.err).toContain('\\u001b[2Jx.json: there is no such file');
    const control = await degreewise(['check', 'c.json'], {
      files: { 'c.json': wrong('/meta/title', 'a\u001b[31mb') },
    });
    expect(control.code).toBe(1);
    expect(control.err).not.toContain('\u001b');
  });

  it('writes a script in a title as text', async () => {
    const title = '</work-title><script>alert(1)</script>';
    const files = { 't.json': encodePhrase(build('w 3/5', { title })) };
    const { text } = await degreewise(['convert', 't.json', '-o', 't.musicxml'], { files });
    expect(text('t.musicxml')).not.toContain('<script');
    expect(text('t.musicxml')).toContain('&lt;script&gt;');
  });
});

describe('a score', () => {
  const bar = (pitch: string) =>
    `<measure><attributes><divisions>1</divisions></attributes><note><pitch><step>${pitch[0]}</step><octave>${pitch[1]}</octave></pitch><duration>4</duration></note></measure>`;
  const files = {
    'a.xml': `<score-partwise><part-list><score-part id="P1"><part-name>High</part-name></score-part><score-part id="P2"><part-name>Low</part-name></score-part></part-list><part id="P1">${bar('C8')}</part><part id="P2">${bar('E3')}</part></score-partwise>`,
  };

  it('is read by the part and octave that are asked for, which a refusal names', async () => {
    const plain = await degreewise(['show', 'a.xml', '--json'], { files });
    expect([plain.code, plain.err]).toEqual([
      1,
      expect.stringContaining('Read it with the octave -2, or part 2.'),
    ]);
    const lower = await degreewise(['show', 'a.xml', '--octave', '-2', '--json'], { files });
    expect(lower.out).toContain('"C6"');
    const second = await degreewise(['show', 'a.xml', '--part=2', '--json'], { files });
    expect(second.out).toContain('"E3"');
  });

  it('of which one staff alone can be played is read by it, which a refusal names', async () => {
    const on = (pitch: string, staff: number) =>
      `<note><pitch><step>${pitch[0]}</step><octave>${pitch[1]}</octave></pitch><duration>4</duration><voice>${staff}</voice><staff>${staff}</staff></note>`;
    const piano = `<score-partwise><part-list><score-part id="P1"><part-name>Piano</part-name></score-part></part-list><part id="P1"><measure><attributes><divisions>1</divisions><staves>2</staves></attributes>${on('E6', 1)}<backup><duration>4</duration></backup>${on('C1', 2)}</measure></part></score-partwise>`;
    const two = { files: { 'p.xml': piano } };
    const plain = await degreewise(['show', 'p.xml', '--json'], two);
    expect(plain.err).toContain('Read staff 1.');
    const upper = await degreewise(['show', 'p.xml', '--staff', '1', '--json'], two);
    expect([upper.code, upper.out.includes('"E6"'), upper.out.includes('"C1"')]).toEqual([
      0,
      true,
      false,
    ]);
    const none = await degreewise(['show', 'p.xml', '--staff', '3'], two);
    expect(none.err).toContain('the part has no staff 3. It has the staves 1, 2.');
  });
});

describe('find', () => {
  const files = {
    'lib/a.json': encodePhrase(build('q 4/5 3/4 3/5 4/5', { id: 'a', title: 'A', chords: 'G7' })),
    'lib/b.json': encodePhrase(build('q 4/5 3/5', { id: 'b', title: 'B', chords: 'G7' })),
    'lib/notes.md': 'no phrase',
  };
  const find = (...args: string[]) => degreewise(['find', ...args], { files, folders: ['lib'] });

  it('tells the phrases of a folder with the notes that were matched', async () => {
    const r = await find('R 3 4', 'lib');
    expect(r.code).toBe(0);
    expect(r.out).toBe('A (C, 1 bar)  lib/a.json\n    bar 1: R 3 4\n');
    expect(r.err).toBe('1 of 2 phrases\n');
  });

  it('mends a slip as the library does, and says what to do where nothing is found', async () => {
    const titled = build('q 3/5', { id: 'w', title: 'Walking Home', chords: 'G7' });
    const named = { files: { 'w.json': encodePhrase(titled) }, folders: ['empty'] };
    const slip = await degreewise(['find', 'wlaking', 'w.json'], named);
    expect(slip.out).toContain('Walking Home');
    expect(slip.err).toContain("No phrase says 'wlaking'. Shown is what says 'walking'.\n");
    const listed = await degreewise(['find', 'wlaking', 'w.json', '--json'], named);
    expect(JSON.parse(listed.out)).toMatchObject({ total: 1 });
    expect(listed.err).toBe("No phrase says 'wlaking'. Shown is what says 'walking'.\n");
    const none = await degreewise(['find', 'b2', 'w.json'], named);
    // Each word is said, and both by nothing.
    const both = await degreewise(['find', 'walking hone', 'w.json', 'lib/hone.json'], {
      files: {
        ...named.files,
        'lib/hone.json': encodePhrase({
          ...titled,
          id: 'h',
          meta: { ...titled.meta, title: 'Hone' },
        }),
      },
    });
    expect(both.err).toContain("No phrase says 'hone' and the rest. Shown is what says 'home'.\n");
    expect(both.out).toContain('Walking Home');
    expect(none.err).toBe(
      '0 of 1 phrase. Leave a part of the question out, or look in more files.\n',
    );
    const nowhere = await degreewise(['find', 'b2', 'empty'], named);
    expect(nowhere.err).toBe('0 of 0 phrases. Name files or folders that hold phrases.\n');
  });

  it('reads a library in pieces, and leaves what was taken of one that is refused', async () => {
    const one = (id: string) => build('q 4/5 3/4 3/5', { id, title: id, chords: 'G7' });
    const text = (ids: readonly string[], end = '') =>
      encodeLibrary({
        format: 'degreewise-library',
        version: 2,
        phrases: ids.map(one),
      }).replace(/\s*\]\s*\}\s*$/u, `${' '.repeat(5 << 20)}${end}]}`);
    const large = {
      files: { 'broken.json': text(['x', 'y'], ',{}'), 'large.json': text(['a', 'b', 'c']) },
    };
    const r = await degreewise(['find', 'R 3', 'broken.json', 'large.json', '--json'], large);
    expect([r.code, r.err]).toEqual([1, expect.stringContaining('broken.json')]);
    const { found } = JSON.parse(r.out) as { found: { id: string; number: number }[] };
    expect(found.map((f) => [f.id, f.number])).toEqual([
      ['a', 1],
      ['b', 2],
      ['c', 3],
    ]);
    const fits = await degreewise(
      ['find', '', 'large.json', '--fits', 'IV7', '--key', 'C', '--count', '2'],
      large,
    );
    expect(fits.out).toContain('large.json');
    expect(fits.err).toBe('2 of 3 phrases, and more may fit\n');
  });

  it('tells of a bend from where to where', async () => {
    const bent = build('q 3/5 3/7(bend:Eb4)', { id: 'b', title: 'B', key: 'F', chords: 'F7' });
    const named = { files: { 'b.json': encodePhrase(bent) } };
    const told = await degreewise(['find', '5 .. 6', 'b.json'], named);
    expect(told.out).toContain('bar 1: 5 6→♭7\n');
    const listed = await degreewise(['find', '5 .. 6', 'b.json', '--json'], named);
    expect(listed.out).toContain('"from": "6"');
    const plain = await degreewise(['find', '5 .. 6', 'b.json'], { ...named, env: { LANG: 'C' } });
    expect(plain.out).toContain('bar 1: 5 6>b7\n');
  });

  it('tells first what the words fit best, and what fits alike as it was read', async () => {
    const titled = (id: string, title: string, tags: readonly string[] = []) =>
      encodePhrase(build('q 3/5', { id, title, chords: 'G7', meta: { tags } }));
    const named = {
      files: {
        'a.json': titled('a', 'Harbour', ['late ferry']),
        'b.json': titled('b', 'One More Ferry Late'),
        'c.json': titled('c', 'Late Ferry Home'),
        'd.json': titled('d', 'Late Ferry'),
        'e.json': titled('e', 'Ferry, Late'),
      },
    };
    const ids = async (query: string) => {
      const r = await degreewise(['find', query, ...Object.keys(named.files), '--json'], named);
      return (JSON.parse(r.out) as { found: { id: string }[] }).found.map((f) => f.id).join('');
    };
    expect(await ids('late ferry')).toBe('dcbea');
    expect(await ids('late ferry order:-match')).toBe('aebcd');
    expect(await ids('late ferry order:title')).toBe('eadcb');
  });

  it('lists them for programs, in the order asked for', async () => {
    const r = await find('R or 3 order:-title', 'lib', '--json', '--count', '1');
    const told = JSON.parse(r.out) as { query: string; total: number; found: { id: string }[] };
    expect(told).toMatchObject({ query: 'R or 3 order:-title', total: 2, found: [{ id: 'b' }] });
  });

  it('puts the likest first, and what can be moved to a lane', async () => {
    const r = await find('', 'lib', '--like', 'lib/a.json', '--json');
    const told = JSON.parse(r.out) as { found: { id: string; unlikeness: number }[] };
    expect(told.found[0]).toMatchObject({ id: 'a', unlikeness: 0 });
    const fits = await find('', 'lib', '--fits', 'IV7');
    expect([fits.code, fits.err]).toEqual([0, '2 of 2 phrases\n']);
    expect(fits.out).toMatch(/^ {4}all of it goes 2 semitones down; frets 2 to 3; its/mu);
    const place = [
      '--fits',
      'IV7',
      '--key',
      'D',
      '--tempo',
      '90',
      '--after',
      '2:5',
      '--before',
      'E4',
    ];
    const near = await find('', 'lib', ...place, '--count', '1', '--json');
    const [best] = (JSON.parse(near.out) as { found: { why: string[] }[] }).found;
    expect(best?.why.join('; ')).toMatch(
      /begins .* the note before; ends .* the note that follows/u,
    );
    expect(near.err).toBe('');
    for (const [wrong, said] of [
      [['--key', 'D'], '--key says more of the place'],
      [['--fits', 'IV7', '--after', 'H'], "in --after: 'H' is no note"],
      [['--fits', 'IV7', '--tempo', '9999'], 'no value of --tempo'],
    ] as const) {
      const r = await find('', 'lib', ...wrong);
      expect([r.code, r.err]).toEqual([2, expect.stringContaining(said)]);
    }
    const wrong = await find('', 'lib', '--fits', 'Q');
    expect(wrong.code).toBe(2);
    expect(wrong.err).toContain("in --fits 'Q'");
  });

  it('tells what a folder holds, and makes one library of several files', async () => {
    const stats = await degreewise(['stats', 'lib', '--json'], { files, folders: ['lib'] });
    expect(JSON.parse(stats.out)).toMatchObject({ phrases: 2, notes: 6, keys: { C: 2 } });
    const none = await degreewise(['stats', 'empty'], { files: {}, folders: ['empty'] });
    expect([none.code, none.out]).toEqual([0, '']);
    expect(none.err).toBe('No phrase was found there. Name files or folders that hold phrases.\n');
    const merged = await degreewise(['merge', 'lib', 'lib/a.json', '-o', 'all.json'], {
      files,
      folders: ['lib'],
    });
    expect([merged.code, merged.out]).toEqual([0, 'wrote all.json: 2 phrases\n']);
    const library = decodeLibrary(merged.text('all.json'));
    expect(library.ok && library.value.phrases.map((p) => p.id)).toEqual(['a', 'b']);
  });

  it('says where no phrase is, instead of writing nothing in silence', async () => {
    const folders = ['none', 'bare'];
    for (const args of [
      ['cut', 'none', '-o', 'parts'],
      ['merge', 'none', 'bare', '-o', 'all.json'],
      ['find', '5', 'a.json', '--like', 'none'],
    ]) {
      const { code, out, err, disk } = await degreewise(args, { folders });
      expect([code, out], args.join(' ')).toEqual([1, '']);
      expect(err).toMatch(/^none(, bare)?: there is no phrase here\. /u);
      expect([...disk.keys()]).toEqual(['a.json']);
    }
  });

  it('shows of a long question what is about the place that is wrong', async () => {
    const { code, err } = await degreewise(['find', `${'5 '.repeat(300)}(6`, 'a.json']);
    expect(code).toBe(2);
    expect(err).toContain(`'...${'5 '.repeat(24)}(6' at character 601: this parenthesis`);
  });

  it('cuts a long piece into a folder or a library, and says where to write', async () => {
    const piece = build('q 3/5 3/7 2/5 - | h - q 2/8 1/5 | q 1/8 1/5 2/8 -', { title: 'Pier' });
    const long = { 'long.json': encodePhrase(piece) };
    const cut = await degreewise(['cut', 'long.json', '-o', 'parts'], { files: long });
    expect([cut.code, cut.out]).toEqual([
      0,
      'wrote parts/long-1.json: Pier 1, 1 bar\nwrote parts/long-2.json: Pier 2, 1 bar\n',
    ]);
    const second = decodePhrase(cut.text('parts/long-2.json'));
    expect(second.ok && second.value.pickup).toBe(20_160);
    const bars = await degreewise(['cut', 'long.json', '-o', 'all.json', '--bars', '2'], {
      files: long,
    });
    expect(bars.out).toBe('wrote all.json: 2 phrases\n');
    const wrong = await degreewise(['cut', 'long.json'], { files: long });
    expect(wrong.code).toBe(2);
  });

  it('tells the character that is wrong, and reads nothing', async () => {
    const r = await find('5 with:bnd', 'lib');
    expect(r.code).toBe(2);
    expect(r.err).toContain("in '5 with:bnd' at character 8: 'bnd' is no technique");
  });
});
