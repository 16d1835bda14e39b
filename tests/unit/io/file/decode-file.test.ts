import { describe, expect, it } from 'vitest';
import { decodeFile } from '../../../../src/io/file/decode-file';
import { tooLarge } from '../../../../src/io/file/most-bytes';
import { encodeLibrary, encodePhrase } from '../../../../src/io/json';
import { writeMxl } from '../../../../src/io/musicxml/package/mxl';
import { writeMusicXml } from '../../../../src/io/musicxml/write/write-musicxml';
import { writeWav } from '../../../../src/io/wav/write';
import { build } from '../../../support/build';

const phrase = build('q 3/5 3/7 2/8 -', { id: 'pier', title: '', key: 'Eb', chords: 'Eb' });
const bytes = (text: string) => new TextEncoder().encode(text);
let made = 0;
const options = { newId: () => `id-${++made}`, now: '2026-11-25T00:00:00Z' };
const decode = (name: string, b: Uint8Array) => decodeFile(name, b, options);

describe('reading a file', () => {
  it.each<[string, Uint8Array, string]>([
    ['x.txt', bytes(encodePhrase(phrase)), 'json'],
    ['x.json', bytes(`\ufeff${encodePhrase(phrase)}`), 'json'],
    ['x.json', bytes(`\n ${writeMusicXml(phrase)}`.replace(/<\?xml.*?\?>/u, '')), 'musicxml'],
    ['x', writeMxl(writeMusicXml(phrase)), 'mxl'],
  ])('goes by what is in it, not by its name %s', (name, content, format) => {
    const read = decode(name, content);
    expect(read.ok && read.value.format).toBe(format);
    expect(read.ok && read.value.phrases[0]!.voices[0].events.length).toBe(3);
  });

  it.each<[string, string, string]>([
    ['x.quick', 'e 3:5 7 2:8', 'quick'],
    ['-', '\ufeff{Eb} e 3:5 7 2:8', 'quick'],
    ['x.txt', '["Pier", Eb] e 3:5 7 2:8', 'quick'],
    ['x.txt', ['e|', 'B|', 'G|', 'D|', 'A|', 'E|'].map((s) => `${s}-5-7-8-|`).join('\n'), 'txt'],
    ['x.quick', encodePhrase(phrase), 'json'],
    ['x.txt', writeMusicXml(phrase), 'musicxml'],
  ])('reads plain text where the name allows it: %s', (name, text, format) => {
    const read = decode(name, bytes(text));
    expect(read.ok && read.value.format).toBe(format);
    expect(read.ok && read.value.phrases[0]!.voices[0].events.length).toBe(3);
  });

  it('a score without a title is called as its file, without folders and ending', () => {
    // As from elsewhere: without the fields of our own, in which an empty title is kept.
    const xml = writeMusicXml(phrase).replace(/<miscellaneous>.*<\/miscellaneous>/su, '');
    const read = decode('lessons/Two doors.musicxml', bytes(xml));
    expect(read.ok && read.value.phrases[0]!.meta.title).toBe('Two doors');
  });

  it('text is called as its file too, unless it says its title or comes from nowhere', () => {
    const titleOf = (name: string, text: string) => {
      const read = decode(name, bytes(text));
      return read.ok ? read.value.phrases[0]!.meta.title : null;
    };
    expect(titleOf('lessons/Kettle Rung.quick', 'e 3:5 7 2:8')).toBe('Kettle Rung');
    expect(titleOf('x.quick', '["Pier"] e 3:5 7 2:8')).toBe('Pier');
    expect(titleOf('-', 'e 3:5 7 2:8')).toBe('');
  });

  it('a library gives all its phrases', () => {
    const text = encodeLibrary({
      format: 'degreewise-library',
      version: 2,
      phrases: [phrase, { ...phrase, id: 'quay' }],
    });
    const read = decode('all.json', bytes(text));
    expect(read.ok && read.value.library && read.value.phrases.map((p) => p.id)).toEqual([
      'pier',
      'quay',
    ]);
  });

  it.each<[string, Uint8Array, RegExp]>([
    ['empty', new Uint8Array(0), /the file is empty/u],
    ['MIDI', bytes('MThd\0\0\0\u0006'), /MIDI file has no whole header/u],
    ['WAV', writeWav(new Float32Array(4), 8000), /^this is a recording/u],
    ['Ogg', new Uint8Array([0x4f, 0x67, 0x67, 0x53, 0, 2]), /^this is a recording/u],
    ['MP4', bytes('\0\0\0 ftypM4A '), /^this is a recording/u],
    ['PNG', new Uint8Array([0x89, 0x50, 0x4e, 0x47, 13, 10, 26, 10]), /^this is a picture/u],
    ['PDF', bytes('%PDF-1.7\n'), /^this is a picture/u],
    ['words', bytes('dear diary'), /neither a phrase nor a MusicXML score/u],
    ['broken UTF-8', new Uint8Array([0x7b, 0xff, 0xff]), /no text in UTF-8/u],
  ])('%s is refused with a reason', (_, content, reason) => {
    const read = decode('x', content);
    expect(read.ok ? '' : read.problems[0]!.message).toMatch(reason);
    expect(read.ok ? '' : read.problems[0]!.fix).not.toBe('');
  });

  it.each([
    ['quick text with a head', 'wrong.mid', '[A blues, 4/4] {A7} e 3:5 7 2:5 8'],
    ['quick text with a chord', 'lick', '{A7} e 3:5 7'],
    ['tablature', 'lick.tab', 'My lick\n\ne|--5--8--|\nB|--------|\n'],
  ])('%s under another ending is told to be renamed', (_, name, text) => {
    const read = decode(name, bytes(text));
    expect(read.ok ? '' : read.problems[0]!.fix).toMatch(/\.quick or \.txt: give it such a name/u);
  });

  it.each([
    [
      'over the words',
      'Verse:\n  Am        F/C   G7\nThe kettle sings a little tune\n| C  | G | (x2)\nand nobody is at home\n',
    ],
    ['among the words', 'The [Am]kettle sings a [F#m7]little tune\nand [G]nobody is at home\n'],
  ])('a sheet of chords %s is told to hold no notes', (_, text) => {
    const read = decode('song.txt', bytes(text));
    expect(read.ok ? '' : read.problems[0]!.message).toBe(
      'these are words with chords and no notes',
    );
  });

  it('words and quick text with a mistake are no sheet of chords', () => {
    for (const text of [
      'Dear A and dear B\nno chord is here\n',
      '[A] {A7} e 3:5 7\n{D7} e zz 9\n',
    ]) {
      const read = decode('x.txt', bytes(text));
      expect(read.ok ? '' : read.problems[0]!.message).not.toContain('chords and no notes');
    }
  });

  it('a page without a lesson, or with a part of one, is told as such', () => {
    const said = (text: string) => {
      const read = decode('x.html', bytes(text));
      return read.ok ? [] : [read.problems[0]!.message, read.problems[0]!.foreign];
    };
    const page = (inside: string) => `<!DOCTYPE html>\n<html><body>${inside}`;
    const begun = '<script type="application/json" id="degreewise-lesson">{"format":"degreewise-';
    expect(said(page('<p>Hello</p></body></html>'))).toEqual(['the page holds no lesson', true]);
    expect(said(page(begun))).toEqual(['the page of the lesson is not whole', undefined]);
  });

  it('too large is told with both numbers', () => {
    expect(tooLarge(300e6).message).toContain('the file has 300 MB, and at most 135 are read');
  });
});
