import { describe, expect, it } from 'vitest';
import { ratioText } from '../../src/core/phrase/tuplet-ratio';
import { TUPLET_RATIOS } from '../../src/core/phrase/tuplet-ratios';
import type { Phrase } from '../../src/core/phrase/types';
import { checkPhrase } from '../../src/core/validity/check-phrase';
import { decodePhrase } from '../../src/io/json';
import { readMidi } from '../../src/io/midi-in/read-midi';
import { writeMidi } from '../../src/io/midi-out/write';
import { checkMusicXml } from '../../src/io/musicxml/check/check-musicxml';
import { writeMusicXml } from '../../src/io/musicxml/write/write-musicxml';
import { readQuick } from '../../src/io/quick/read';
import { writeQuick } from '../../src/io/quick/write';
import { readTextTab } from '../../src/io/text-tab/read/read-text-tab';
import { writeTextTab } from '../../src/io/text-tab/write/write-text-tab';
import { build } from '../support/build';
import { imported } from '../support/score-text';

/*
 * Every ratio of the list goes through every form that a phrase can be written in and read from, with
 * notes and a rest.
 */

const ORIGIN = { id: 'test', now: '2026-01-01T00:00:00.000Z' };

const CASES = TUPLET_RATIOS.map((r) => {
  const text = ratioText(r);
  // A note behind it and rests fill the bar.
  const rest = 16 - r.normal;
  const notes = Array.from({ length: r.actual }, (_, i) =>
    i === 1 && r.actual > 3 ? '-' : `${2 + (i % 2)}/${5 + (i % 4)}`,
  ).join(' ');
  const after =
    rest > 0
      ? ` s ${Array.from({ length: rest }, (_, i) => (i === 0 ? '3/4' : '-')).join(' ')}`
      : '';
  return [text, build(`s${text} ${notes}${after} | w 3/5`, { chords: 'A7 | A7' })] as const;
});

const rhythm = (p: Phrase) =>
  p.voices.map((v) => [v.tuplets, v.events.map((e) => [e.onset, e.duration])]);

describe.each(CASES)('a tuplet %s', (text, p) => {
  it('is valid, and stored', () => {
    expect(checkPhrase(p)).toEqual([]);
    expect(decodePhrase(JSON.stringify(p))).toEqual({ ok: true, value: p });
  });

  it('goes through quick text and our tablature in text', () => {
    const quick = writeQuick(p).text;
    expect(quick).toContain(`${text}(`);
    const read = readQuick(quick, ORIGIN);
    expect(read.ok && rhythm(read.value), quick).toEqual(rhythm(p));
    const tab = writeTextTab(p, { width: 140, degrees: 'off' });
    expect(tab).toContain(`${text}[`);
    const back = readTextTab(tab, ORIGIN);
    expect(back.ok && rhythm(back.value.phrase), tab).toEqual(rhythm(p));
  });

  it('goes through MusicXML, with its ratio, and through MIDI', () => {
    const xml = writeMusicXml(p);
    expect(checkMusicXml(xml)).toEqual([]);
    expect(imported(xml).phrase).toEqual(p);
    // Nothing of ours in it: as another program would hand it on.
    const plain = xml.replace(/<miscellaneous>.*?<\/miscellaneous>/su, '');
    expect(plain).not.toBe(xml);
    expect(rhythm(imported(plain).phrase)).toEqual(rhythm(p));
    const midi = readMidi(writeMidi(p), { newId: () => 'x', now: ORIGIN.now, title: 'x' });
    expect(midi.ok && rhythm(midi.value.phrase)).toEqual(rhythm(p));
  });
});
