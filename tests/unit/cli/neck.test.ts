import { describe, expect, it } from 'vitest';
import { run } from '../../../src/cli/run';
import { encodePhrase } from '../../../src/io/json';
import { build } from '../../support/build';
import { memoryIo } from '../../support/memory-io';

const LINE = encodePhrase(
  build('q 3/5 3/7 2/5 2/8', { chords: 'D7', key: 'D', title: 'Slip rope' }),
);
const BARE = encodePhrase(build('q 3/5 3/7 2/5 2/8', { title: 'Bare' }));

async function neck(...args: string[]) {
  const io = memoryIo({ files: { 'a.json': LINE, 'b.json': BARE } });
  const code = await run(['neck', ...args], io);
  const text = (path: string) => new TextDecoder().decode(io.disk.get(path));
  return { code, out: io.stdout(), err: io.stderr(), text };
}

/** What a picture says, text by text. */
function textsOf(svg: string): readonly string[] {
  return [...svg.matchAll(/<text[^>]*>([^<]*)<\/text>/gu)].map((m) => m[1]!);
}

describe('neck', () => {
  it('draws the phrase in the order played, with its degrees and the hand', async () => {
    const { code, out, text } = await neck('a.json', '-o', 'x.svg');
    expect([code, out]).toEqual([0, 'wrote x.svg\n']);
    // C4 and D4 on string 3, E4 and G4 on string 2 over D7; frets 5 to 8 of 648 mm are 77 mm (N1).
    const texts = textsOf(text('x.svg'));
    for (const t of ['Slip rope', '♭7', 'R', '2', '4', 'hand, bar 1', '4 frets, 77 mm'])
      expect(texts).toContain(t);
    expect(text('x.svg')).toContain('@font-face');
  });

  it('draws chords, the scale of the key, another scale and degrees of one’s own', async () => {
    const chord = textsOf((await neck('a.json', '-o', 'x.svg', '--show', 'chord')).text('x.svg'));
    expect(new Set(chord.filter((t) => /^[R♭♯]?[2-7]?$/u.test(t) && !/^\d+$/u.test(t)))).toEqual(
      new Set(['R', '♭7']),
    );
    expect(chord).toContain('D7');
    const named = await neck('b.json', '-o', 'x.svg', '--chord', 'C,IV7');
    expect(textsOf(named.text('x.svg'))).toEqual(expect.arrayContaining(['C', 'F7']));
    const scale = await neck('a.json', '-o', 'x.svg', '--scale', 'G dorian', '--frets', '5-9');
    expect(textsOf(scale.text('x.svg'))).toContain('G dorian: R 2 ♭3 4 5 6 ♭7');
    const own = await neck('a.json', '-o', 'x.svg', '--own', 'R b3 5', '--left-handed');
    expect(textsOf(own.text('x.svg'))).toContain('over D: R ♭3 5');
  });

  it('says what it cannot do, and replaces nothing unasked', async () => {
    const tries: readonly (readonly [string, number, string])[] = [
      ['a.json', 2, 'where to write is missing'],
      ['a.json -o a.png', 2, 'the neck is written as .svg'],
      ['a.json b.json -o x.svg', 2, 'there are several phrases'],
      ['a.json -o x.svg --scale nonesuch', 2, "there is no scale 'nonesuch'"],
      ['a.json -o x.svg --own R,b9x', 2, "'b9x' is no degree"],
      ['a.json -o x.svg --frets 9-5', 2, 'is no value of --frets'],
      ['a.json -o x.svg --show chord --scale blues', 2, 'does not go with --scale'],
      ['b.json -o x.svg --show chord', 1, 'the phrase has no chords'],
      ['a.json -o b.json', 2, 'the neck is written as .svg'],
    ];
    for (const [line, code, words] of tries) {
      const r = await neck(...line.split(' '));
      expect([r.code, r.err.includes(words)], `${line}: ${r.err}`).toEqual([code, true]);
    }
  });
});
