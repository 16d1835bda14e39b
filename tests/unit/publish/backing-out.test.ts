import { parseMidi } from 'midi-file';
import { describe, expect, it } from 'vitest';
import { accompany } from '../../../src/core/backing/accompany';
import type { Phrase } from '../../../src/core/phrase/types';
import { DRUM_KEYS } from '../../../src/core/sound/midi-channels';
import { perform } from '../../../src/core/sound/perform';
import { type Look, USUAL_LOOK } from '../../../src/publish/format';
import { write as writeMidi } from '../../../src/publish/midi/write';
import { write as writeWav } from '../../../src/publish/wav/write';
import { readSamples } from '../../support/samples';

const LOOK: Look = { ...USUAL_LOOK, degrees: 'chord' };
const TOOLS = { font: async () => '', paint: null };
const phrase = readSamples().find((s) => s.name.startsWith('06'))!.phrase;

/** Notes of a track by midi-file 1.2.4, an independent reader. */
async function tracksOf(p: Phrase, look: Look) {
  const file = parseMidi((await writeMidi(p, look, TOOLS)) as Uint8Array);
  return file.tracks.map((events) => {
    let at = 0;
    const open = new Map<number, number>();
    const notes: { at: number; length: number; key: number; channel: number }[] = [];
    for (const e of events) {
      at += e.deltaTime;
      const key = e.noteNumber!;
      if (e.type === 'noteOn') {
        expect(open.has(key), 'a key is struck while it sounds').toBe(false);
        open.set(key, at);
      } else if (e.type === 'noteOff') {
        const on = open.get(key)!;
        open.delete(key);
        notes.push({ at: on, length: at - on, key, channel: e.channel! });
      }
    }
    expect(open.size).toBe(0);
    const name = events.find((e) => e.type === 'trackName')?.text;
    const program = events.find((e) => e.type === 'programChange')?.programNumber;
    const keys = events.filter((e) => e.type === 'keySignature').map((e) => e.key);
    return { name, program, notes, keys, end: at };
  });
}

describe('a band in what leaves the house', () => {
  it('is three tracks of a MIDI file, the drums on the tenth channel (General MIDI Level 1)', async () => {
    const tracks = await tracksOf(phrase, { ...LOOK, backing: 'shuffle' });
    const named = (name: string) => tracks.find((t) => t.name === name)!;
    const { secondsPerTick } = perform(phrase);
    const parts = accompany(phrase, { feel: 'shuffle', loops: false });
    const tick = (s: number) => Math.round(s / secondsPerTick);
    for (const [name, sounds, program] of [
      ['Bass', parts.bass!.sounds, 33],
      ['Comping', parts.comping!.sounds, 27],
    ] as const) {
      const { notes, program: own } = named(name);
      expect(own).toBe(program);
      const heard = notes.map((n) => `${n.at} ${n.key}`).sort();
      expect(heard).toEqual(sounds.map((s) => `${tick(s.onset)} ${s.midi}`).sort());
    }
    const drums = named('Drums');
    expect(drums.notes.every((n) => n.channel === 9)).toBe(true);
    const wanted = new Set(parts.drums.map((d) => `${tick(d.onset)} ${DRUM_KEYS[d.drum]}`));
    expect(new Set(drums.notes.map((n) => `${n.at} ${n.key}`))).toEqual(wanted);
    expect(tracks[0]!.end).toBe(tick(perform(phrase).length));
    const channels = tracks.map((t) => t.notes[0]?.channel).filter((c) => c !== undefined);
    expect(new Set(channels).size).toBe(channels.length);
  });

  it('goes through a cycle in one file, each round behind the other in its own key', async () => {
    const look: Look = { ...LOOK, backing: 'swing', rounds: { kind: 'list', text: 'G C F' } };
    const tracks = await tracksOf(phrase, look);
    const keys = tracks[0]!.keys.map((k) => (k! > 127 ? k! - 256 : k!));
    expect(keys).toEqual([1, 0, -1]);
    const once = await tracksOf(phrase, { ...look, rounds: { kind: 'same' } });
    const notesOf = (all: typeof tracks) =>
      all.filter((t) => t.name?.startsWith('String')).reduce((n, t) => n + t.notes.length, 0);
    expect(notesOf(tracks)).toBe(3 * notesOf(once));
  });

  it('is heard in a sound file, which is no longer for it', async () => {
    const alone = (await writeWav(phrase, LOOK, TOOLS)) as Uint8Array;
    const band = (await writeWav(
      phrase,
      { ...LOOK, backing: 'twelve-eight' },
      TOOLS,
    )) as Uint8Array;
    expect(band.length).toBe(alone.length);
    expect(band).not.toEqual(alone);
  });
});
