import { describe, expect, it } from 'vitest';
import { STANDARD_TUNING } from '../../../src/core/phrase/instrument';
import type { Instrument } from '../../../src/core/phrase/types';
import { parsePitch } from '../../../src/core/theory/pitch';
import { inkPhrase } from '../../../src/engrave/engrave';
import { findOutside, findOverlaps } from '../../../src/engrave/ink/touching';
import type { EngraveOptions } from '../../../src/engrave/options';
import { build } from '../../support/build';

const tuned = (notes: string) =>
  notes.split(' ').map((n) => {
    const pitch = parsePitch(n);
    if (!pitch.ok) throw new Error(n);
    return pitch.value;
  });

function textsOf(instrument: Partial<Instrument>, o: Partial<EngraveOptions> = {}) {
  const p = build('q 1/5 1/7 2/5 2/7 | 1/5 1/7 2/5 2/7 | 1/5 1/7 2/5 2/7', { instrument });
  const systems = inkPhrase(p, { width: 900, ...o });
  for (const s of systems) {
    expect(findOverlaps(s.ink)).toEqual([]);
    const page = { x0: 0, y0: 0, x1: s.units.width, y1: s.units.height };
    expect(findOutside(s.ink, page)).toEqual([]);
  }
  return systems.map((s) =>
    [...s.svg.matchAll(/<text[^>]*>([^<]*)<\/text>/gu)]
      .map((m) => m[1]!)
      .filter((t) => /[a-z]{3}|^[A-G]/u.test(t)),
  );
}

describe('what a player has to do to the instrument first', () => {
  it('stands over the first line: a capo, and a tuning from the lowest string', () => {
    expect(textsOf({ capo: 2 })[0]).toContain('Capo 2');
    const drop = textsOf({ tuning: tuned('E4 B3 G3 D3 A2 D2') })[0];
    expect(drop).toContain('Tuning: D A D G B E');
    const both = textsOf({ tuning: tuned('Eb4 Bb3 Gb3 Db3 Ab2 Eb2'), capo: 3 })[0];
    expect(both).toEqual(expect.arrayContaining(['Tuning: E♭ A♭ D♭ G♭ B♭ E♭', 'Capo 3']));
  });

  it('is there without a tempo and on every choice of staves, and not on later lines', () => {
    for (const staves of ['both', 'staff', 'tab', 'degrees'] as const) {
      const lines = textsOf({ capo: 2 }, { staves, tempo: false, width: 300 });
      expect(lines.length).toBeGreaterThan(1);
      expect(lines[0], staves).toContain('Capo 2');
      for (const later of lines.slice(1)) expect(later.join(), staves).not.toContain('Capo');
    }
  });

  it('says nothing of standard tunings', () => {
    const standard = [
      STANDARD_TUNING,
      tuned('E4 B3 G3 D3 A2 E2 B1'),
      tuned('G2 D2 A1 E1'),
      tuned('G2 D2 A1 E1 B0'),
      tuned('A4 E4 C4 G4'),
    ];
    for (const tuning of standard) {
      expect(textsOf({ tuning }).flat().join()).not.toMatch(/Tuning|Capo/u);
    }
  });

  it('goes under the tempo, and breaks, where the page is narrow', () => {
    const o = { tuning: tuned('F#4 C#4 A3 E3 B2 F#2 C#2 G#1'), capo: 11 };
    const [line] = textsOf(o, { width: 130, size: 10 });
    expect(line!.join(' ')).toContain('Capo 11');
    expect(line!.join(' ')).toMatch(/Tuning: G♯ C♯ F♯.* B.*E A C♯ F♯/u);
  });
});
