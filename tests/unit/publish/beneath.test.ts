import { parseMidi } from 'midi-file';
import { describe, expect, it } from 'vitest';
import { partBeneath } from '../../../src/core/backing/comp-part';
import { perform } from '../../../src/core/sound/perform';
import { midiOf } from '../../../src/core/theory/pitch';
import { readMidi } from '../../../src/io/midi-in/read-midi';
import { readMusicXml } from '../../../src/io/musicxml/read/read-musicxml';
import { type Look, USUAL_LOOK } from '../../../src/publish/format';
import { write as writeMidi } from '../../../src/publish/midi/write';
import { write as writeMusicXml } from '../../../src/publish/musicxml/write';
import { write as writeSvg } from '../../../src/publish/svg/write';
import { write as writeWav } from '../../../src/publish/wav/write';
import { build } from '../../support/build';

const TOOLS = { font: async () => '', paint: null };
const solo = build('q 3/5 3/7 2/5 2/8 | h 2/5 3/7', { chords: 'A7 | D7', key: 'A', title: 'Slip' });
const rhythm = build('q - 3/5+2/5+1/3 - 3/5+2/5+1/3', { chords: 'C', key: 'C', title: 'Chop' });
const part = partBeneath(solo, rhythm)!;
const look: Look = { ...USUAL_LOOK, degrees: 'chord', beneath: (p) => partBeneath(p, rhythm) };
const read = { newId: () => 'r', now: '2026-01-01T00:00:00Z', title: 'Read' };
const keysOf = (p: typeof solo) =>
  p.voices.flatMap((v) =>
    (v?.events ?? []).flatMap((e) =>
      e.notes.map((n) => `${e.onset} ${n.kind === 'pitched' ? midiOf(n.pitch) : 'x'}`),
    ),
  );

describe('comping written out beneath a phrase', () => {
  it('is a second part of a MusicXML file, of which the first is read', async () => {
    const xml = (await writeMusicXml(solo, look, TOOLS)) as string;
    expect(xml.match(/<part id="P\d"/gu)).toEqual(['<part id="P1"', '<part id="P2"']);
    expect(xml).toMatch(/<part-group number="1" type="start">\s*<group-symbol>bracket/u);
    const first = readMusicXml(xml, read);
    if (!first.ok) throw new Error(first.problems[0]!.message);
    expect(first.value.phrase.voices).toEqual(solo.voices);
    const second = readMusicXml(xml, { ...read, part: 2 });
    if (!second.ok) throw new Error(second.problems[0]!.message);
    expect(keysOf(second.value.phrase)).toEqual(keysOf(part));
    expect(second.value.notes.filter((n) => /edited elsewhere/u.test(n.message))).toEqual([]);
  });

  it('is a further track of a MIDI file, of which the phrase is read', async () => {
    const bytes = (await writeMidi(solo, look, TOOLS)) as Uint8Array;
    const tracks = parseMidi(bytes).tracks.filter((t) => t.some((e) => e.type === 'noteOn'));
    const last = tracks.at(-1)!;
    expect(last.find((e) => e.type === 'trackName')?.text).toBe('Comping');
    let at = 0;
    const begun = last.flatMap((e) => {
      at += e.deltaTime;
      return e.type === 'noteOn' ? [`${at} ${e.noteNumber!}`] : [];
    });
    const { sounds, secondsPerTick } = perform(part);
    const wanted = sounds.map((s) => `${Math.round(s.onset / secondsPerTick)} ${s.midi}`);
    expect(begun.sort()).toEqual(wanted.sort());
    const back = readMidi(bytes, read);
    expect(back.ok && back.value.phrase.voices).toEqual(solo.voices);
    const second = readMidi(bytes, { ...read, part: 2 });
    if (!second.ok) throw new Error(second.problems[0]!.message);
    expect(new Set(keysOf(second.value.phrase).map((k) => k.split(' ')[1]))).toEqual(
      new Set(keysOf(part).map((k) => k.split(' ')[1])),
    );
  });

  it('stands on the lines of a drawing, and sounds along', async () => {
    const svg = (await writeSvg(solo, look, TOOLS)) as string;
    expect(svg.match(/>Comping</gu)).toHaveLength(1);
    const alone = (await writeWav(solo, { ...look, beneath: null }, TOOLS)) as Uint8Array;
    const both = (await writeWav(solo, look, TOOLS)) as Uint8Array;
    expect(Buffer.from(both).equals(Buffer.from(alone))).toBe(false);
  });

  it('is not put as it is beneath bars that are played in another order', () => {
    const bars = (second: object, third: object) =>
      [{}, { repeatEnd: 2, ...second }, third].map((bar) => ({
        meter: { beats: 4, beatType: 4 },
        ...bar,
      })) as unknown as typeof solo.bars;
    const long = build('w 3/5 | w 3/7 | w 3/5', { chords: 'A7 | D7 | A7', key: 'A' });
    const twice = { ...long, bars: bars({ ending: [1] }, { ending: [2] }) };
    expect(partBeneath(twice, { ...twice, id: 'written' })?.id).toBe('written');
    expect(partBeneath(twice, { ...long, bars: bars({}, {}) })).toBeNull();
  });

  it('has the tempo of the phrase in MusicXML, whatever its own', async () => {
    const slow = { ...part, tempo: { ...part.tempo, bpm: part.tempo.bpm / 2 } };
    const xml = (await writeMusicXml(solo, { ...look, beneath: () => slow }, TOOLS)) as string;
    expect(new Set(xml.match(/<sound tempo="[^"]*"/gu)).size).toBe(1);
  });

  it('is left out where it cannot stand', async () => {
    const waltz = build('q 3/5 3/7 2/5', { meter: '3/4', chords: 'A7' });
    const xml = (await writeMusicXml(waltz, look, TOOLS)) as string;
    expect(xml).toBe(await writeMusicXml(waltz, { ...look, beneath: null }, TOOLS));
  });
});
