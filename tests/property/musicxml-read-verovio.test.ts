import { beforeAll, describe, expect, it } from 'vitest';
import type { Phrase } from '../../src/core/phrase/types';
import { notesOf } from '../../src/core/phrase/walk';
import { midiOf } from '../../src/core/theory/pitch';
import { writeMusicXml } from '../../src/io/musicxml/write/write-musicxml';
import { seededPhrase } from '../support/arbitrary';
import { attributes, imported, move, n, score } from '../support/score-text';
import { type ReadByVerovio, startVerovio, type VerovioReading } from '../support/verovio';

/*
 * An independent reading of plain files: verovio 6.3.0 (LGPL, RISM). Pitch, onset and length of
 * every note that begins, tied ones joined; onsets are reckoned from verovio's MEI as exact
 * fractions.
 */

let verovio: ReadByVerovio;
beforeAll(async () => {
  verovio = await startVerovio();
});

/** `onset+length midi` of every note as verovio has it. */
function byVerovio(r: VerovioReading): string[] {
  const next = new Map(r.ties.map(([start, end]) => [start, end]));
  const continued = new Set(next.values());
  const shift = r.transpositions[0]?.[1] ?? 0;
  return [...r.notes.values()]
    .filter((x) => !continued.has(x.id))
    .map((x) => {
      let length = x.duration;
      for (let id = next.get(x.id); id !== undefined; id = next.get(id)) {
        length += r.notes.get(id)!.duration;
      }
      return `${Math.round(x.onset)}+${Math.round(length)} ${x.midi + shift}`;
    })
    .sort();
}

function byUs(p: Phrase): string[] {
  return notesOf(p)
    .flatMap(({ note, onset, event }) =>
      note.kind === 'pitched' ? [`${onset}+${event.duration} ${midiOf(note.pitch)}`] : [],
    )
    .sort();
}

/** Without strings, frets and our own fields, as a notation program would write it. */
function plain(p: Phrase): string {
  return writeMusicXml(p, { staves: 'staff' })
    .replace(/<miscellaneous>.*?<\/miscellaneous>/su, '')
    .replace(/<technical>.*?<\/technical>/gsu, '');
}

/** The same times counted in 5,040 divisions a quarter where they allow it. */
function withFewerDivisions(xml: string): string {
  const odd = [...xml.matchAll(/<(?:duration|divisions|offset)>(\d+)</gu)].some(
    (m) => Number(m[1]) % 2 === 1,
  );
  if (odd) return xml;
  return xml.replace(
    /<(duration|divisions|offset)>(\d+)</gu,
    (_, name, value) => `<${name}>${Number(value) / 2}<`,
  );
}

describe('verovio agrees with the reader', () => {
  it('on generated rhythms in notation alone, ties, tuplets and two voices among them', () => {
    let notes = 0;
    let tuplets = 0;
    for (let seed = 52_000; seed < 52_050; seed++) {
      // Dead notes have a pitch for verovio; natural harmonics are written at what is heard.
      const p = seededPhrase(seed, { without: ['dead notes', 'rakes', 'graces', 'tunings'] });
      const xml = withFewerDivisions(plain(p));
      const { phrase, listed } = imported(xml);
      // A unison of two voices is one note to us and two to verovio.
      if (listed.some((l) => l.includes('shared by two voices'))) continue;
      expect(byUs(phrase)).toEqual(byVerovio(verovio(xml)));
      notes += notesOf(phrase).length;
      tuplets += phrase.voices.flatMap((v) => v.tuplets).length;
    }
    expect(notes).toBeGreaterThan(500);
    expect(tuplets).toBeGreaterThan(20);
  });

  // Verovio takes tuplets by their brackets.
  const bracket = (i: number, last: number) =>
    i === 0 ? '<tuplet type="start"/>' : i === last ? '<tuplet type="stop"/>' : '';
  const triplet = (...notes: readonly (readonly [string, string, number])[]) =>
    notes
      .map(([pitch, type, duration], i) =>
        n(pitch, duration, { type, ratio: '3:2', notations: bracket(i, notes.length - 1) }),
      )
      .join('');
  const run = (pitch: string, count: number, duration: number, ratio: string) =>
    Array.from({ length: count }, (_, i) =>
      n(pitch, duration, { type: '16th', ratio, notations: bracket(i, count - 1) }),
    ).join('');
  const q = { type: 'quarter' };

  it.each<[string, string]>([
    [
      'a waltz with a pickup and triplets',
      score([
        `{number="0" implicit="yes"}${attributes({ divisions: 12, time: '3/4' })}${n('E4', 12, q)}`,
        triplet(['A4', 'eighth', 4], ['B4', 'eighth', 4], ['C5', 'eighth', 4]) +
          triplet(['D5', 'quarter', 8], ['C5', 'eighth', 4]) +
          n('B4', 12, q),
        n('A4', 36, { type: 'half', dots: 1, tie: ['start'] }),
        n('A4', 24, { type: 'half', tie: ['stop'] }) + n('rest', 12, q),
      ]),
    ],
    [
      'two voices, the second with a gap',
      score([
        attributes({ divisions: 4 }) +
          ['C5', 'B4', 'A4', 'G4'].map((p) => n(p, 4, q)).join('') +
          move('backup', 16) +
          move('forward', 4) +
          n('E3', 8, { voice: '2', type: 'half' }) +
          move('forward', 4),
      ]),
    ],
    [
      'a part in E flat, ties in a chord',
      score([
        attributes({
          divisions: 2,
          rest: '<transpose><diatonic>-5</diatonic><chromatic>-9</chromatic></transpose>',
        }) +
          n('C5', 4, { type: 'half', tie: ['start'] }) +
          n('E5', 4, { type: 'half', tie: ['start'], chord: true }) +
          n('C5', 4, { type: 'half', tie: ['stop'] }) +
          n('E5', 4, { type: 'half', tie: ['stop'], chord: true }),
      ]),
    ],
    [
      'five and seven in a bar of six eighths',
      score([
        attributes({ divisions: 70, time: '6/8' }) +
          run('E4', 5, 14, '5:4') +
          n('F4', 35, { type: 'eighth' }) +
          run('G4', 7, 10, '7:4') +
          n('A4', 35, { type: 'eighth' }),
      ]),
    ],
    [
      'a change of meter and of divisions',
      score([
        attributes({ divisions: 1, time: '2/4' }) + n('G3', 2, { type: 'half' }),
        '<attributes><divisions>6</divisions><time><beats>5</beats><beat-type>8</beat-type></time></attributes>' +
          n('A3', 9, { type: 'quarter', dots: 1 }) +
          n('B3', 6, q),
      ]),
    ],
  ])('on %s', (_, xml) => {
    const { phrase } = imported(xml);
    const ours = byUs(phrase);
    expect(ours.length).toBeGreaterThan(1);
    expect(ours).toEqual(byVerovio(verovio(xml)));
  });

  it('and a planted difference shows', () => {
    const xml = score([attributes() + n('E4', 4, { type: 'half' }) + n('F4', 4, { type: 'half' })]);
    const moved = xml.replace('<step>F</step>', '<step>G</step>');
    expect(byUs(imported(xml).phrase)).not.toEqual(byVerovio(verovio(moved)));
  });
});
