import { describe, expect, it } from 'vitest';
import { run } from '../../../src/cli/run';
import { memoryIo } from '../../support/memory-io';

async function shapes(...args: string[]) {
  const io = memoryIo({ files: {} });
  const code = await run(['shapes', ...args], io);
  return { code, out: io.stdout(), err: io.stderr() };
}

describe('shapes', () => {
  it('prints frets and degrees from the lowest string on, with what lies around', async () => {
    const { code, out } = await shapes('G7', '--near', '3', '--strings', '2,3');
    expect(code).toBe(0);
    expect(out).toContain('G7 around fret 3: 3 shapes');
    expect(out).toMatch(
      /^ {2}x {2}x {2}x {2}4 {2}3 {2}x {3}3 5 +minor third +slide-in {2}6 at 2\/5, ♭7 at 2\/6, ♭3 at 3\/3$/mu,
    );
  });

  it('lists the same set over several chords, on other instruments', async () => {
    const { out } = await shapes('G7,C7,D7', '--kind', 'triads', '--near', '5', '--json');
    const all = JSON.parse(out);
    expect(all.map((x: { chord: string }) => x.chord)).toEqual(['G7', 'C7', 'D7']);
    for (const { shapes: list } of all) {
      expect(list.length).toBeGreaterThan(2);
      for (const s of list) {
        expect(s.kind).toBe('triad');
        expect(s.tones.map((t: { degree: string }) => t.degree).sort()).toEqual(['3', '5', 'R']);
      }
    }
    const ukulele = JSON.parse((await shapes('C', '--tuning', 'ukulele', '--json')).out);
    const open = ukulele[0].shapes.filter((s: { kind: string }) => s.kind === 'four-note');
    // The open C chord of every ukulele: 0 0 0 3.
    const frets = (s: { tones: { fret: number }[] }) => s.tones.map((t) => t.fret).join(' ');
    expect(open.map(frets)).toContain('3 0 0 0');
  });

  it('says what is wrong', async () => {
    const tries: readonly (readonly [string, string])[] = [
      ['', 'no chord is named'],
      ['H7', 'has no chord root'],
      ['G7 --strings 9', 'is no value of --strings'],
      ['G7 --tuning nonesuch', "there is no instrument or tuning 'nonesuch'"],
      ['G7 --kind chords', 'is no value of --kind'],
      ['G7 --near 99', 'is no value of --near'],
    ];
    for (const [line, words] of tries) {
      const r = await shapes(...line.split(' ').filter((w) => w !== ''));
      expect([r.code, r.err.includes(words)], `${line}: ${r.err}`).toEqual([2, true]);
    }
  });
});
