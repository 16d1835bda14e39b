import { inflateRawSync } from 'node:zlib';
import { deflateSync } from 'fflate';
import { describe, expect, it } from 'vitest';
import { DICTIONARY_A } from '../../../../src/io/link/dictionary';
import { decodeLink, encodeLink } from '../../../../src/io/link/phrase-link';
import { Dice } from '../../../support/generate/dice';
import { seededPhrase } from '../../../support/generate/phrase';
import { readSamples } from '../../../support/samples';

const phrases = [
  ...readSamples().map((s) => s.phrase),
  ...Array.from({ length: 8 }, (_, i) => seededPhrase(i, { maxBars: 3 })),
];

describe('a link that carries a phrase', () => {
  it('gives back every sample and generated phrases, as another inflater reads it too', () => {
    for (const p of phrases) {
      const text = encodeLink(p);
      expect(text).toMatch(/^a[\w-]+$/u);
      expect(decodeLink(text)).toEqual({ ok: true, value: p });
      const packed = Buffer.from(text.slice(1), 'base64url').subarray(4);
      const json = inflateRawSync(packed, { dictionary: Buffer.from(DICTIONARY_A) });
      expect(JSON.parse(json.toString())).toEqual(p);
    }
  });

  it('that was cut or changed anywhere is told, and never a wrong phrase', () => {
    const d = new Dice(1, 77);
    const text = encodeLink(phrases[0]!);
    const damaged = [
      '',
      'a',
      'aAAAA',
      text.slice(0, -1),
      text.slice(0, text.length >> 1),
      `${text}AAAA`,
      text.replace(/.$/u, '*'),
      ...Array.from({ length: 60 }, () => {
        const at = d.int(1, text.length - 1);
        const sign = d.pick([...'abcXYZ019-_']);
        return text.slice(0, at) + (text[at] === sign ? '~' : sign) + text.slice(at + 1);
      }),
    ];
    for (const t of damaged) {
      const read = decodeLink(t);
      // The last sign may say nothing in its last bits, and bytes behind the end are not looked at.
      if (read.ok) expect(read.value).toEqual(phrases[0]);
      else expect(read.problems[0]!.message).toMatch(/cut off or damaged|newer release/u);
    }
    expect(decodeLink(text.slice(0, -4)).ok).toBe(false);
    expect(decodeLink(`b${text.slice(1)}`)).toMatchObject({
      problems: [{ message: expect.stringContaining('newer release') }],
    });
  });

  it('that would unpack to no end is refused', () => {
    const bomb = deflateSync(new Uint8Array(40_000_000), { level: 9 });
    const text = `a${Buffer.concat([Buffer.alloc(4), bomb]).toString('base64url')}`;
    expect(decodeLink(text).ok).toBe(false);
    expect(decodeLink(`a${'A'.repeat(300_000)}`)).toMatchObject({
      problems: [{ message: expect.stringContaining('200000') }],
    });
  });
});
