import { describe, expect, it } from 'vitest';
import { type Command, readCommand } from '../../../src/cli/args';
import { helpText } from '../../../src/cli/help';
import { QUICK_SIGNS } from '../../../src/io/quick/signs';

function command(line: string): Command {
  const read = readCommand(split(line));
  if (!read.ok) throw new Error(read.problems.map((p) => p.message).join());
  return read.value;
}

function refusal(line: string): string {
  const read = readCommand(split(line));
  return read.ok ? 'accepted' : read.problems.map((p) => `${p.message}. ${p.fix ?? ''}`).join();
}

/** Words of a line; what stands in quotes is one word. */
function split(line: string): string[] {
  return [...line.matchAll(/"([^"]*)"|(\S+)/gu)].map((m) => m[1] ?? m[2] ?? '');
}

describe('commands', () => {
  it('reads options anywhere and files in order', () => {
    expect(command('convert a.json -o out --format mxl b.json --force')).toEqual({
      name: 'convert',
      files: ['a.json', 'b.json'],
      output: { out: 'out', force: true, apart: false, format: 'mxl', look: {} },
    });
    expect(command('show --json -- --odd.json')).toEqual({
      name: 'show',
      files: ['--odd.json'],
      json: true,
    });
    expect(command('check a.json -')).toEqual({ name: 'check', files: ['a.json', '-'] });
    expect(command('positions a.json --count=7')).toMatchObject({ count: 7 });
    expect(command('positions a.json')).toMatchObject({ count: 3 });
  });

  it('reads help and version anywhere a person would type them', () => {
    expect(command('check a.xml --part 2 --octave -1')).toEqual({
      name: 'check',
      files: ['a.xml'],
      read: { part: 2, octave: -1 },
    });
    expect(command('move a.xml --key G --octave up --read-octave -1')).toMatchObject({
      read: { octave: -1 },
      move: { octave: 'up' },
    });
    expect(command('--version')).toEqual({ name: 'version' });
    expect(command('--help')).toEqual({ name: 'help', topic: null });
    expect(command('help move')).toEqual({ name: 'help', topic: 'move' });
    expect(command('help quick')).toEqual({ name: 'help', topic: 'quick' });
    for (const { sign } of QUICK_SIGNS) expect(helpText('quick')).toContain(`\n  ${sign}`);
    expect(command('convert --help')).toEqual({ name: 'help', topic: 'convert' });
  });
});

describe('where to move', () => {
  it('keeps a key as it is typed (P5)', () => {
    expect(command('move a --key Gb')).toMatchObject({
      move: { goals: [{ kind: 'key', text: 'Gb' }] },
    });
    expect(command('move a --key "D# minor"')).toMatchObject({
      move: { goals: [{ kind: 'key', text: 'D# minor' }] },
    });
  });

  it('takes symbols and numerals', () => {
    for (const chord of ['F#m7b5', 'IV7', 'ii7', 'viiø7', 'bVII7', 'V7/V']) {
      expect(command(`move a --chord ${chord}`)).toMatchObject({
        move: { goals: [{ kind: 'chord', text: chord }], adapt: false },
        output: null,
      });
    }
    expect(command('move a --lane "I7 | IV7 | I7 V7"')).toMatchObject({
      move: { goals: [{ kind: 'lane', text: 'I7 | IV7 | I7 V7' }] },
    });
  });

  it('takes negative steps, with and without an equals sign', () => {
    for (const line of [
      'move a --steps -2',
      'move a --steps=-2',
      'move --steps -2 a --way tonal',
    ]) {
      expect(command(line)).toMatchObject({
        files: ['a'],
        move: { goals: [{ kind: 'steps', text: '-2' }] },
      });
    }
  });

  it('takes all choices', () => {
    expect(
      command('move a --chord V --way hold --adapt --octave down --hand strings'),
    ).toMatchObject({ move: { way: 'hold', adapt: true, octave: 'down', hand: 'strings' } });
  });
});

describe('what makes no sense', () => {
  it.each([
    ['', 'no command'],
    ['play a.json', "no command 'play'"],
    ['--loud', 'no option --loud'],
    ['help play', "no command 'play'"],
    ['show', 'no file is named'],
    ['find samples --fits IV7', "'samples' is read as what to look for"],
    ['show - -', 'only once'],
    ['show a.json --width 3', 'no option --width'],
    ['show a.json --json=yes', 'takes no value'],
    ['show a.json --json --json', 'given twice'],
    ['convert a.json', 'where to write is missing'],
    ['convert a.json -o', 'needs a value'],
    ['convert a.json -o -', 'nothing is written to the standard output with -o -'],
    ['shwo a.json', "Perhaps 'show' is meant"],
    ['help Move', "Perhaps 'move' is meant"],
    ['convert a.json -o --force', 'needs a value'],
    ['convert a.json -o x.json --format mp3', "'mp3' is no value of --format"],
    ['move a.json', 'where to move is missing'],
    ['move a.json --key H', "'H' is no key"],
    ['move a.json --chord IV,,V', 'nothing between two commas'],
    ['move a.json --key=', 'which key to move to is not said'],
    ['move a.json --chord=', 'which chord to move to is not said'],
    ['move a.json --chord Xyz', "'Xyz'"],
    ['move a.json --chord IVmajor77', 'IVmajor77'],
    ['move a.json --lane "C | | F"', 'no chord symbol'],
    ['move a.json --way tonal', 'Add --steps N'],
    ['move a.json --way tonal --key C', '--key, --way tonal: the way tonal moves by scale steps'],
    ['move a.json --steps 2 --way chord', '--steps, --way chord: scale steps cannot be combined'],
    ['move a.json --steps two', "in --steps 'two': 'two' is no number of scale steps"],
    ['move a.json --steps 2.5', "'2.5' is no number of scale steps"],
    ['move a.json --steps 99', 'from −28 to 28'],
    ['move a.json --key C --without vibrato', "in --without 'vibrato': 'vibrato' names no sign"],
    ['move a.json --octaves 0', "'0' is no number of octaves"],
    ['move a.json --beat 2', "'2' is no bar and beat"],
    ['move a.json --beat 2:1 --way real', 'another beat knows no other way'],
    ['move a.json --chord IV --adapt', '--chord, --adapt: suggestions'],
    ['move a.json --chord IV --way chord --adapt', '--way chord, --adapt: suggestions'],
    ['move a.json --chord IV --way sideways', "'sideways' is no value of --way"],
    ['move a.json --chord IV --octave left', "'left' is no value of --octave"],
    ['move a.json --chord IV --hand foot', "'foot' is no value of --hand"],
    ['move a.json --chord IV --force', '--force goes with -o only'],
    ['positions a.json --count 0', 'from 1 to 50'],
  ])('%s', (line, says) => {
    expect(refusal(line)).toContain(says);
  });
});
