import { describe, expect, it } from 'vitest';
import { run } from '../../../src/cli/run';
import { decodePhrase, encodePhrase } from '../../../src/io/json';
import { decodeLibrary } from '../../../src/io/library/decode';
import { build } from '../../support/build';
import { memoryIo } from '../../support/memory-io';

const PHRASE = build('q 2/13(bend:D5) e 2/10 2/8 q 3/9 -', {
  chords: 'D7',
  key: 'G',
  title: 'Mooring line',
  id: 'mooring',
});

async function degreewise(args: readonly string[]) {
  const io = memoryIo({ files: { 'a.json': encodePhrase(PHRASE) } });
  const code = await run(args, io);
  const text = (path: string) => new TextDecoder().decode(io.disk.get(path));
  return { code, out: io.stdout(), err: io.stderr(), text };
}

function phraseIn(text: string) {
  const read = decodePhrase(text);
  if (!read.ok) throw new Error(read.problems[0]?.message);
  return read.value;
}

describe('vary', () => {
  it('prints the phrase, what was made of it and why', async () => {
    const { code, out } = await degreewise(['vary', 'a.json', '--how', 'slide-in', '--count', '1']);
    expect(code).toBe(0);
    expect(out).toMatch(/^before$/mu);
    expect(out).toMatch(/^slid into from below$/mu);
    expect(out).toMatch(/slid into from a semitone below/u);
  });

  it('writes the best as a phrase that knows its parent, several as a library', async () => {
    const one = await degreewise(['vary', 'a.json', '--how', 'thinned', '-o', 'b.json']);
    expect(one.code).toBe(0);
    expect(phraseIn(one.text('b.json')).parent).toBe('mooring');
    const args = ['vary', 'a.json', '--how', 'slide-in', '--count', '3', '-o', 'c.json'];
    const read = decodeLibrary((await degreewise(args)).text('c.json'));
    expect(read.ok && read.value.phrases.every((p) => p.parent === 'mooring')).toBe(true);
  });

  it('lists results and variations as data', async () => {
    const { out } = await degreewise(['vary', 'a.json', '--how', 'slide-in', '--json']);
    const [first] = JSON.parse(out).variations;
    expect(first.how).toEqual(['slide-in']);
    expect(first.notes.every((n: { change: string }) => n.change !== 'added')).toBe(true);
    const list = JSON.parse((await degreewise(['vary', '--list', '--json'])).out).variations;
    expect(list.map((v: { name: string }) => v.name)).toContain('understated');
  });

  it('says what is wrong with the words', async () => {
    const wrong = await degreewise(['vary', 'a.json', '--how', 'loud']);
    expect(wrong.code).toBe(2);
    expect(wrong.err).toMatch(/in --how: there is no variation 'loud'/u);
    const none = await degreewise(['vary', 'a.json', '--how', 'single-notes']);
    expect([none.code, none.err]).toEqual([1, 'a.json: it is a line of single notes already.\n']);
  });
});
