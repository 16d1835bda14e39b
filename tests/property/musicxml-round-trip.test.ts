import { describe, expect, it } from 'vitest';
import type { Phrase, PhraseEvent } from '../../src/core/phrase/types';
import { bendSemitones, notesOf } from '../../src/core/phrase/walk';
import { bendTiming, curveOfTiming } from '../../src/io/musicxml/bend-timing';
import { NOTES_FIELD, PHRASE_FIELD } from '../../src/io/musicxml/misc';
import { readMxl, writeMxl } from '../../src/io/musicxml/package/mxl';
import {
  type WriteMusicXmlOptions,
  writeMusicXml,
} from '../../src/io/musicxml/write/write-musicxml';
import { type Feature, seededPhrase } from '../support/arbitrary';
import { hasSharedSlide, musicalFields, standardFields } from '../support/musical-fields';
import { MUSICXML_CASES } from '../support/musicxml-cases';
import { imported } from '../support/score-text';

/*
 * What is written comes back. The writer is tested elsewhere against the W3C's schema and verovio,
 * so that reader and writer cannot agree on a mistake.
 */

const SEED = 40_000;
const seeds = (count: number, from = SEED, without: readonly Feature[] = []) =>
  Array.from({ length: count }, (_, i) => seededPhrase(from + i, { without }));

function back(p: Phrase, options: WriteMusicXmlOptions = {}) {
  return imported(writeMusicXml(p, options));
}

describe('a file of our own comes back identical, ids and times too', () => {
  it.each(MUSICXML_CASES.map((p) => [p.meta.title, p] as const))('%s', (_, p) => {
    expect(back(p).phrase).toEqual(p);
  });

  it('generated phrases, with nothing listed', () => {
    for (const p of seeds(120)) {
      const { phrase, listed } = back(p);
      expect(phrase).toEqual(p);
      expect(listed).toEqual([]);
    }
  });

  it('in the other kinds of file: tab alone, as fingered with degrees, compressed', () => {
    for (const p of seeds(25, SEED + 500)) {
      expect(back(p, { staves: 'tab' }).phrase).toEqual(p);
      expect(back(p, { asFingered: true, degrees: 'chord' }).phrase).toEqual(p);
      const unpacked = readMxl(writeMxl(writeMusicXml(p)));
      expect(unpacked.ok && imported(unpacked.value).phrase).toEqual(p);
    }
  });

  it('in notation alone, where only the strings of graces are not written', () => {
    // A grace between two equally near notes of a chord could lie on either string.
    for (const p of seeds(40, SEED + 600, ['graces'])) {
      expect(back(p, { staves: 'staff' }).phrase).toEqual(p);
    }
  });
});

/** The file as a program leaves it that drops what it does not know: our fields and the ids. */
function stripped(xml: string): string {
  const fields = [PHRASE_FIELD, NOTES_FIELD].join('|');
  const bare = xml
    .replace(
      new RegExp(`<miscellaneous-field name="(${fields})">[^<]*</miscellaneous-field>`, 'gu'),
      '',
    )
    .replace(/<note id="[^"]*">/gu, '<note>');
  expect(bare).not.toContain('degreewise:');
  return bare;
}

describe('the standard part alone says', () => {
  it('notes, rhythm, techniques, places and frame', () => {
    const all = [...MUSICXML_CASES, ...seeds(80, SEED + 1_000)];
    const plain = all.filter((p) => !hasSharedSlide(p));
    expect(plain.length).toBeGreaterThan(all.length / 2);
    for (const p of plain) {
      const { phrase } = imported(stripped(writeMusicXml(p)));
      expect(standardFields(phrase)).toEqual(standardFields(p));
    }
  });

  it('when a bend rises and falls', () => {
    let bends = 0;
    for (const p of seeds(60, SEED + 1_200, ['graces'])) {
      const { phrase } = imported(stripped(writeMusicXml(p)));
      const after = notesOf(phrase);
      notesOf(p).forEach(({ note }, i) => {
        const read = after[i]?.note;
        if (note.kind !== 'pitched' || note.bend === undefined) return;
        if (read?.kind !== 'pitched') throw new Error('the note is gone');
        bends++;
        expect(bendSemitones(read)).toBe(bendSemitones(note));
        expect(read.bend?.curve).toEqual(
          curveOfTiming(bendTiming(note.bend.shape, note.bend.curve)),
        );
      });
    }
    expect(bends).toBeGreaterThan(30);
  });
});

describe('musical fields', () => {
  it('leave out identity and keep everything else', () => {
    const p = seededPhrase(7);
    expect(musicalFields({ ...p, id: 'other', parent: 'q' })).toEqual(musicalFields(p));
    expect(musicalFields({ ...p, pickup: p.pickup + 315 })).not.toEqual(musicalFields(p));
    const touched = (e: PhraseEvent, i: number) => (i === 0 ? { ...e, tremolo: 3 as const } : e);
    const [voice, ...others] = p.voices;
    const events = voice.events.map(touched);
    const changed = { ...p, voices: [{ ...voice, events }, ...others] } as Phrase;
    expect(musicalFields(changed)).not.toEqual(musicalFields(p));
  });
});
