import { enableLog, LOG_OFF, VerovioToolkit } from 'verovio/esm';
import createModule from 'verovio/wasm';
import { describe, expect, it } from 'vitest';
import type { Phrase } from '../../src/core/phrase/types';
import { notesOf } from '../../src/core/phrase/walk';
import { midiOf } from '../../src/core/theory/pitch';
import { readMidi } from '../../src/io/midi-in/read-midi';
import { writeMusicXml } from '../../src/io/musicxml/write/write-musicxml';
import { readSamples } from '../support/samples';

/** Samples without ornaments that another program plays in its own way: graces, trills, strums. */
const NAMES = ['04', '08', '14', '20', '31'];

describe('MIDI files that verovio 6.3.0 makes of our scores (120 ticks a quarter)', () => {
  it('have the onsets, the pitches and the meters of the phrase', async () => {
    const module = await createModule();
    enableLog(LOG_OFF, module);
    const toolkit = new VerovioToolkit(module);
    const notes = (p: Phrase) =>
      notesOf(p)
        .flatMap(({ note, event }) =>
          note.kind === 'dead' ? [] : [`${event.onset} ${midiOf(note.pitch)}`],
        )
        .sort();
    let tried = 0;
    for (const { name, phrase } of readSamples()) {
      if (!NAMES.includes(name.slice(0, 2))) continue;
      expect(toolkit.loadData(writeMusicXml(phrase, { staves: 'staff' }))).toBeTruthy();
      const bytes = new Uint8Array(Buffer.from(toolkit.renderToMIDI(), 'base64'));
      let ids = 0;
      const options = { newId: () => `n${++ids}`, now: phrase.meta.created, title: name };
      const read = readMidi(bytes, options);
      if (!read.ok) throw new Error(`${name}: ${read.problems[0]!.message}`);
      const { phrase: back } = read.value;
      expect(new Set(notes(back)), name).toEqual(new Set(notes(phrase)));
      expect(back.bars[0]?.meter, name).toEqual(phrase.bars[0]?.meter);
      tried++;
    }
    expect(tried).toBe(NAMES.length);
  });
});
