import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import type { Phrase } from '../../src/core/phrase/types';
import {
  type WriteMusicXmlOptions,
  writeMusicXml,
} from '../../src/io/musicxml/write/write-musicxml';
import { build } from '../support/build';

/*
 * Whole files, read by a person when they were made. A missing file is written and fails the test
 * once, so that nothing is ever accepted unread; existing ones are never overwritten.
 */

const CASES: readonly (readonly [string, Phrase, WriteMusicXmlOptions])[] = [
  [
    'two-notes-both-staves',
    build('h 2/13(bend:D5,anchor:key) 2/12', {
      title: 'Two notes',
      key: 'C',
      chords: 'D7',
      tempo: { bpm: 96, unit: 'quarter' },
    }),
    { degrees: 'chord', encodingDate: '2026-11-25' },
  ],
  [
    'pickup-tie-tab-only',
    build('e 3/5 | q. 3/7(h) h 2/5+3/5 e 3/7 | e3 2/5 2/8(h) 2/5(p)', {
      title: 'Pickup',
      key: 'G',
      pickup: 5_040,
      length: 5_040 + 40_320 + 10_080,
      bars: 2,
      chords: 'G7 | C7',
      feel: { kind: 'swing', unit: 'eighth', first: 2, second: 1 },
    }),
    { staves: 'tab' },
  ],
  [
    'drone-staff-only-as-fingered',
    build('q 3/5 2/5 - 1/3', {
      title: 'Drone',
      key: 'F',
      chords: 'F Bb/F',
      second: 'w 6/0',
      instrument: { capo: 1 },
    }),
    { staves: 'staff', asFingered: true },
  ],
];

describe('golden MusicXML files', () => {
  it.each(CASES)('%s', (name, phrase, options) => {
    const file = path.join(import.meta.dirname, 'musicxml', `${name}.musicxml`);
    const xml = writeMusicXml(phrase, options);
    if (!existsSync(file)) {
      writeFileSync(file, xml);
      throw new Error(`${name}.musicxml was missing and is written now: read it, then run again`);
    }
    expect(xml).toBe(readFileSync(file, 'utf8'));
  });
});
