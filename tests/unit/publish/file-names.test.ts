import { describe, expect, it } from 'vitest';
import { fileStem, uniqueNames } from '../../../src/publish/file-names';

describe('names of files', () => {
  it.each([
    ['Two doors, one key?', 'two-doors-one-key'],
    ['../../etc/passwd', 'etc-passwd'],
    ['B♭ & F♯', 'bb-f#'],
    ['Solo over twelve-bar blues in E♭', 'solo-over-twelve-bar-blues-in-eb'],
    ['Señor «Tide»', 'señor-tide'],
    ['夜の線', '夜の線'],
    ['', 'phrase'],
    ['Con', 'con-phrase'],
    ['AUX.', 'aux-phrase'],
    ['COM1', 'com1-phrase'],
    ['lpt²', 'lpt²-phrase'],
    ['Contrary', 'contrary'],
    ['nul points', 'nul-points'],
    [' \u0000/\\:*?"<>|. ', 'phrase'],
    ['a'.repeat(200), 'a'.repeat(80)],
    [`${'long '.repeat(15)}harbour bells`, `${'long-'.repeat(15)}`.slice(0, -1)],
  ])('%j is %s', (title, stem) => {
    expect(fileStem(title)).toBe(stem);
  });

  it('are each used once', () => {
    expect(uniqueNames(['a', 'b', 'a', 'a', 'a-2'], 'svg')).toEqual([
      'a.svg',
      'b.svg',
      'a-2.svg',
      'a-3.svg',
      'a-2-2.svg',
    ]);
  });
});
