import { parseMidi } from 'midi-file';
import { beforeAll, describe, expect, it } from 'vitest';
import { partBeneath } from '../../src/core/backing/comp-part';
import { standardForm } from '../../src/core/form/standard';
import { addItem, freeItemId } from '../../src/core/lesson/edit';
import { musicOf } from '../../src/core/lesson/music';
import type { Lesson, LessonItem } from '../../src/core/lesson/types';
import type { Phrase } from '../../src/core/phrase/types';
import { notesOf } from '../../src/core/phrase/walk';
import { formatPitch } from '../../src/core/theory/pitch';
import { type Look, USUAL_LOOK } from '../../src/publish/format';
import { write as writeMidi } from '../../src/publish/midi/write';
import { write as writeMusicXml } from '../../src/publish/musicxml/write';
import { build } from '../support/build';
import { lessonOfEveryKind } from '../support/lesson';
import { reduceTo30 } from '../support/musicxml-30';
import { overForm } from '../support/over-form';
import { readSamples } from '../support/samples';
import { type ReadByVerovio, startVerovio } from '../support/verovio';
import { checkAgainstXsd30, checkAgainstXsd40 } from '../support/xmllint';

const samples = readSamples().map((s) => s.phrase);
const TOOLS = { font: async () => '', paint: null };
const CHOP = build('q - 3/5+2/5+1/3 - 3/5+2/5+1/3', { chords: 'C', key: 'C', title: 'Chop' });

/** Every kind of item, a phrase through all twelve keys, and twelve bars with comping. */
function fullLesson(): Lesson {
  const solo = { ...overForm(standardForm('blues')!, 1), id: 'solo' };
  const comping = { ...partBeneath(solo, CHOP)!, id: 'comping' };
  const own = { phrase: comping.id, printed: true };
  const start = lessonOfEveryKind([samples[0]!, samples[2]!]);
  const items: LessonItem[] = [
    { kind: 'rounds', id: 'keys', phrase: samples[0]!.id, cycle: { kind: 'fourths' } },
    { kind: 'solo', id: 'chorus', phrase: solo.id, parts: [], comping: own },
  ];
  return items.reduce(
    (l, i) => addItem(l, { ...i, id: freeItemId(l) }, l.items.length, solo, comping),
    start,
  );
}

const { music, along, left } = musicOf(fullLesson());
const look = (p: Phrase): Look => {
  return { ...USUAL_LOOK, degrees: 'chord', beneath: () => along.get(p.id) ?? null };
};

/** All music of a lesson, as other programs read it: two schemas, a score program, and a reader of MIDI files. */
describe('the music of a lesson, read by others', () => {
  let read: ReadByVerovio;
  const files: { readonly p: Phrase; readonly name: string; readonly xml: string }[] = [];
  beforeAll(async () => {
    read = await startVerovio();
    for (const [i, p] of music.entries()) {
      const xml = (await writeMusicXml(p, look(p), TOOLS)) as string;
      files.push({ p, name: `${i}.xml`, xml });
    }
  });

  it('is all of it, and valid MusicXML', async () => {
    expect(left).toEqual([]);
    // Two phrases, one moved, over IV and V, through eleven more keys, and the chorus with what goes along.
    expect(music.length).toBeGreaterThanOrEqual(15);
    expect([...along.keys()]).toEqual(['solo']);
    const reduced = files.map((f) => ({ ...f, xml: reduceTo30(f.xml) }));
    for (const checked of [checkAgainstXsd30(reduced), checkAgainstXsd40(files)]) {
      const verdict = await checked;
      expect([...(verdict ?? [])].filter(([, told]) => told.length > 0)).toEqual([]);
    }
    // Of a whole file, as ids of XML are; the older schema has none on notes.
    for (const { xml } of files) {
      const ids = [...xml.matchAll(/<note id="([^"]*)"/gu)].map((m) => m[1]);
      expect(new Set(ids).size).toBe(ids.length);
    }
  });

  it('has its notes, lengths and chord names in a score program', () => {
    for (const { p, xml } of files) {
      const { notes, harmonies } = read(xml);
      expect(harmonies.map((h) => h.text.replace('♭', 'b').replace('♯', '#'))).toEqual(
        p.chords.map((c) => c.symbol),
      );
      notesOf(p).forEach(({ note, event }, i) => {
        const ids = [...notes.keys()].filter(
          (id) => id === `n${i + 1}` || id.startsWith(`n${i + 1}.`),
        );
        const [head] = ids.map((id) => notes.get(id)!);
        const duration = ids.reduce((sum, id) => sum + notes.get(id)!.duration, 0);
        expect([head?.onset, duration], `${p.meta.title}, ${note.id}`).toEqual([
          event.onset,
          event.duration,
        ]);
        if (note.kind === 'pitched') expect(head?.spelled).toBe(formatPitch(note.pitch));
      });
    }
  });

  it('has as many notes and ends with its last bar in a MIDI file', async () => {
    for (const p of music) {
      const bytes = (await writeMidi(p, look(p), TOOLS)) as Uint8Array;
      const { header, tracks } = parseMidi(bytes);
      const times = tracks.map((track) => track.reduce((at, e) => at + e.deltaTime, 0));
      const struck = tracks.flat().filter((e) => e.type === 'noteOn' && e.velocity !== 0).length;
      const parts = [p, along.get(p.id)].flatMap((x) => (x === undefined ? [] : [x]));
      const meant = parts.flatMap((x) => notesOf(x)).length;
      expect(struck, p.meta.title).toBe(meant);
      // From the first bar to the end of the last (T1).
      const quarters = Math.max(...times) / header.ticksPerBeat!;
      expect(quarters, p.meta.title).toBe(p.length / 10_080);
    }
  });
});
