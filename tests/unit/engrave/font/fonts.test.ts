import { readdirSync, readFileSync, statSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { brotliDecompressSync } from 'node:zlib';
import { VexFlow } from 'vexflow/core';
import { describe, expect, it } from 'vitest';
import { GLYPHS, type GlyphName } from '../../../../src/engrave/font/glyphs';
import { measureText } from '../../../../src/engrave/font/measure';

const ROOT = path.resolve(path.dirname(fileURLToPath(import.meta.url)), '../../../..');
const FONTS = path.join(ROOT, 'src/engrave/font');
const NAMES = Object.keys(GLYPHS) as GlyphName[];

interface Metadata {
  readonly glyphAdvanceWidths: Readonly<Record<string, number>>;
  readonly glyphBBoxes: Readonly<
    Record<string, { readonly bBoxNE: [number, number]; readonly bBoxSW: [number, number] }>
  >;
}

const metadata = JSON.parse(
  readFileSync(path.join(ROOT, 'node_modules/@vexflow-fonts/bravura/metadata.json'), 'utf8'),
) as Metadata;

describe('the table of metrics', () => {
  it('has SMuFL code points, by the names an independent library knows them by', () => {
    const known = VexFlow.Glyphs as unknown as Readonly<Record<string, string>>;
    for (const name of NAMES)
      expect(GLYPHS[name].codePointAt(0), name).toBe(known[name]?.codePointAt(0));
  });

  it('agrees with the metadata published with the music font (SMuFL, in staff spaces)', () => {
    for (const name of NAMES) {
      // A size of four staff spaces, so that one unit is a staff space.
      const m = measureText(GLYPHS[name], 'music', 4);
      const { bBoxNE, bBoxSW } = metadata.glyphBBoxes[name]!;
      expect(m.advance, name).toBeCloseTo(metadata.glyphAdvanceWidths[name]!, 2);
      expect(Math.abs(m.x0 - bBoxSW[0]), name).toBeLessThan(0.01);
      expect(Math.abs(m.x1 - bBoxNE[0]), name).toBeLessThan(0.01);
      expect(Math.abs(m.y0 + bBoxNE[1]), name).toBeLessThan(0.01);
      expect(Math.abs(m.y1 + bBoxSW[1]), name).toBeLessThan(0.01);
    }
  });

  it('refuses a musical sign that the font lacks, and takes any letter of a text', () => {
    expect(() => measureText('\ue0a1', 'music', 40)).toThrow(RangeError);
    expect(measureText('日本', 'text', 10)).toMatchObject({ known: false, advance: 18 });
    expect(measureText('♭7→R', 'text', 10).known).toBe(true);
  });

  it('has every letter that the program sets itself', () => {
    for (const text of ['½¼¾full', '♭♮♯𝄫𝄪', '‹12›(5)×', 'P.M. let ring rake', 'Çéñößåø']) {
      expect(measureText(text, 'text', 12).known, text).toBe(true);
    }
    expect(measureText('B♭m7♯5/E𝄫°ø∆+', 'bold', 12).known).toBe(true);
  });
});

/** Names 1, 4 and 6 (family, full, PostScript) of a WOFF2 file. Source: W3C WOFF2, OpenType `name`. */
function namesOf(file: string): readonly string[] {
  const data = readFileSync(file);
  const count = data.readUInt16BE(12);
  let at = 48;
  const number = () => {
    let n = 0;
    for (;;) {
      const byte = data[at++]!;
      n = n * 128 + (byte & 0x7f);
      if (byte < 0x80) return n;
    }
  };
  let offset = 0;
  let found = { start: 0, length: 0 };
  for (let i = 0; i < count; i++) {
    const flags = data[at++]!;
    const known = flags & 0x3f;
    const tag = known === 63 ? data.toString('latin1', at, at + 4) : '';
    if (known === 63) at += 4;
    const length = number();
    const transformed = known === 10 || known === 11 ? flags >> 6 !== 3 : flags >> 6 !== 0;
    const stored = transformed ? number() : length;
    if (known === 5 || tag === 'name') found = { start: offset, length: stored };
    offset += stored;
  }
  const all = brotliDecompressSync(data.subarray(at));
  const name = all.subarray(found.start, found.start + found.length);
  const strings = name.readUInt16BE(4);
  return Array.from({ length: name.readUInt16BE(2) }, (_, i) => 6 + 12 * i)
    .filter((r) => [1, 4, 6].includes(name.readUInt16BE(r + 6)))
    .map((r) => {
      const start = strings + name.readUInt16BE(r + 10);
      const bytes = Buffer.from(name.subarray(start, start + name.readUInt16BE(r + 8)));
      return name.readUInt16BE(r) === 1
        ? bytes.toString('latin1')
        : bytes.swap16().toString('utf16le');
    });
}

describe('the font files', () => {
  const files = readdirSync(FONTS).filter((f) => f.endsWith('.woff2'));

  it('are small: 50 kB in all', () => {
    const total = files.reduce((sum, f) => sum + statSync(path.join(FONTS, f)).size, 0);
    expect(files).toHaveLength(3);
    expect(total).toBeLessThan(50_000);
  });

  it('bear names of their own, as the licence asks of a changed font, and bring the licence along', () => {
    for (const f of files) {
      const names = namesOf(path.join(FONTS, f));
      expect(names.length, f).toBeGreaterThan(2);
      for (const n of names) {
        expect(n).toMatch(/^Degreewise/);
        expect(n).not.toMatch(/bravura|academico/i);
      }
    }
    expect(readFileSync(path.join(FONTS, 'OFL.txt'), 'utf8')).toMatch(
      /SIL OPEN FONT LICENSE Version 1\.1/,
    );
  });
});
