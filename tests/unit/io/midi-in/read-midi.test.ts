import { type MidiEvent, parseMidi, writeMidi as writeEvents } from 'midi-file';
import { describe, expect, it } from 'vitest';
import { placeMidi, STANDARD_GUITAR } from '../../../../src/core/phrase/instrument';
import type { Phrase } from '../../../../src/core/phrase/types';
import { notesOf } from '../../../../src/core/phrase/walk';
import { roundsOf } from '../../../../src/core/practice/rounds';
import { formatProblem } from '../../../../src/core/result';
import { toneOf } from '../../../../src/core/sound/tone';
import { checkPhrase } from '../../../../src/core/validity/check-phrase';
import { type DecodeFileOptions, decodeFile } from '../../../../src/io/file/decode-file';
import { readMidi } from '../../../../src/io/midi-in/read-midi';
import { meta, midiFile, type TrackEvent, textMeta } from '../../../../src/io/midi-out/bytes';
import { readScore, scoreContents } from '../../../../src/io/midi-out/score';
import { type MidiOptions, writeMidi, writeMidiRounds } from '../../../../src/io/midi-out/write';
import { seededPhrase } from '../../../support/arbitrary';
import { build } from '../../../support/build';
import { MIDI_CARRIES, midiDifferences, musicOf } from '../../../support/midi-fields';
import { readSamples } from '../../../support/samples';

function options() {
  let ids = 0;
  return { newId: () => `n${++ids}`, now: '2026-11-27T10:00:00.000Z', title: 'file' };
}

function read(bytes: Uint8Array, part?: number): { phrase: Phrase; said: string } {
  const r = readMidi(bytes, { ...options(), ...(part === undefined ? {} : { part }) });
  if (!r.ok) throw new Error(r.problems.map((p) => p.message).join('; '));
  expect(checkPhrase(r.value.phrase)).toEqual([]);
  return { phrase: r.value.phrase, said: r.value.notes.map((n) => n.message).join('\n') };
}

/** A track of notes: onset and length in ticks of 480 to a quarter, key, channel. */
function track(
  name: string,
  notes: readonly (readonly [number, number, number, number?])[],
): TrackEvent[] {
  return [
    { at: 0, rank: 0, bytes: textMeta(3, name) },
    ...notes.flatMap(([at, length, key, channel = 0]): TrackEvent[] => [
      { at, rank: 2, bytes: [0x90 | channel, key, 80] },
      { at: at + length, rank: 1, bytes: [0x80 | channel, key, 0] },
    ]),
  ];
}

const head = (...bytes: readonly (readonly number[])[]): TrackEvent[] =>
  bytes.map((b, i) => ({ at: 0, rank: i, bytes: b }));
const rhythm = (p: Phrase) =>
  p.voices[0].events.map((e) => [e.onset / 10_080, e.duration / 10_080]);

describe('a MIDI file of our own', () => {
  it('comes back equal from what it plays alone, for samples without techniques that make more sounds', () => {
    const names = [
      '01',
      '02',
      '03',
      '06',
      '07',
      '08',
      '10',
      '13',
      '14',
      '18',
      '19',
      '27',
      '28',
      '29',
      '30',
      '31',
      '32',
    ];
    for (const { name, phrase } of readSamples()) {
      if (!names.includes(name.slice(0, 2))) continue;
      const back = read(writeMidi(phrase, { repeats: false, score: false })).phrase;
      expect(midiDifferences(phrase, back, false), name).toEqual([]);
    }
  });

  it('comes back equal for generated phrases (2,000 in tests/scripts/midi-in.ts)', () => {
    let heard = 0;
    for (let seed = 1; seed <= 30; seed++) {
      const p = seededPhrase(seed, { without: MIDI_CARRIES.not });
      const alone = read(writeMidi(p, { score: false })).phrase;
      if (midiDifferences(p, alone, true).length === 0) heard++;
    }
    // From what is played alone 94 in 100.
    expect(heard).toBeGreaterThanOrEqual(27);
  });

  it('gives back the whole music, repeats, techniques and spelling included, at any speed', () => {
    const ways: readonly MidiOptions[] = [
      ...[{}, { swing: 'written', speed: 0.8 }, { repeats: false }, { slides: 'stepped' }],
    ] as const;
    for (let seed = 1; seed <= 24; seed++) {
      const p = seededPhrase(seed);
      const back = read(writeMidi(p, ways[seed % ways.length])).phrase;
      expect(musicOf(back), `${seed}`).toEqual(musicOf(p));
    }
  });

  it('is read by its notes where they were changed elsewhere, and title, tempo and chords are the file’s', () => {
    const p = build('q 3/5 q 2/5(ghost) h 1/5', { chords: 'C7', meter: '4/4' });
    const song = parseMidi(writeMidi(p));
    const changed = (map: (e: MidiEvent) => MidiEvent) =>
      Uint8Array.from(
        writeEvents({ ...song, tracks: song.tracks.map((events) => events.map(map)) }),
      );
    expect(musicOf(read(changed((e) => e)).phrase)).toEqual(musicOf(p));
    const other = read(
      changed((e) => {
        if (e.type === 'trackName' && e.text === p.meta.title) return { ...e, text: 'Other' };
        if (e.type === 'setTempo') return { ...e, microsecondsPerBeat: 1_000_000 };
        return e.type === 'marker' ? { ...e, text: 'F7' } : e;
      }),
    ).phrase;
    expect(other.meta.title).toBe('Other');
    expect(other.tempo).toEqual({ bpm: 60, unit: 'quarter' });
    expect(other.chords).toMatchObject([{ onset: 0, symbol: 'F7' }]);
    expect(other.voices).toEqual(p.voices);
    const higher = read(
      changed((e) => (e.noteNumber === 64 ? { ...e, noteNumber: e.noteNumber + 1 } : e)),
    );
    expect(higher.said).toContain('changed since it was written here');
    expect(notesOf(higher.phrase).map(({ note }) => note.fret)).toEqual([5, 6, 5]);
  });

  it('is read beside a band, and the band’s own parts are not called changed', () => {
    const p = build('q 3/5 q 2/5 h 1/5 | q 3/5 q 2/5 h 1/5', { chords: 'C7 | F7', meter: '4/4' });
    const rounds = roundsOf(p, { band: { feel: 'straight' } });
    if (!rounds.ok) throw new Error(rounds.problems[0]!.message);
    const bytes = writeMidiRounds(rounds.value, toneOf(p), {});
    expect(musicOf(read(bytes, 1).phrase)).toEqual(musicOf(p));
    const bass = read(bytes, 2);
    expect(notesOf(bass.phrase).length).toBeGreaterThan(1);
    expect(musicOf(bass.phrase)).not.toEqual(musicOf(p));
    expect(bass.said).not.toContain('changed since');
  });

  it('tells nothing of its author, and what is damaged or of another maker is passed over', () => {
    const p = build('q 3/5 q 2/5 h 1/5', { meter: '4/4' });
    const part = { source: 'other', title: 'Not yet public', notes: 'x', octaves: 0, laid: 1 };
    const about = { ...p.meta, tags: ['private'], notes: 'for Tuesday' };
    const own = { ...p, meta: about, parts: [part] };
    const said = scoreContents(own, {})!;
    expect(readScore(said)!.phrase.meta).toMatchObject({ title: p.meta.title, tags: [] });
    expect(readScore(said)!.phrase.meta.notes).toBeUndefined();
    expect(readScore(said)!.phrase.parts).toBeUndefined();
    expect(readScore(said.slice(0, -1))).toBeNull();
    expect(readScore([0x41, ...said.slice(1)])).toBeNull();
    expect(readScore([])).toBeNull();
  });
});

describe('a MIDI file of others', () => {
  it('has its meter, tempo, key and rhythm, triplets included', () => {
    const conductor = head(
      meta(0x51, [0x0b, 0x71, 0xb0]),
      meta(0x58, [3, 2, 24, 8]),
      meta(0x59, [0xfe, 1]),
    );
    const line = track('Lead', [
      [0, 480, 62],
      [480, 160, 65],
      [640, 160, 67],
      [800, 160, 69],
      [960, 240, 70],
      [1200, 240, 72],
    ]);
    const { phrase, said } = read(midiFile(480, [conductor, line]));
    expect(phrase.tempo).toEqual({ bpm: 80, unit: 'quarter' });
    expect(phrase.bars.map((b) => b.meter)).toEqual([{ beats: 3, beatType: 4 }]);
    expect(phrase.key).toEqual({ tonic: { letter: 'G', alter: 0 }, mode: 'minor' });
    expect(rhythm(phrase)).toEqual([
      [0, 1],
      [1, 1 / 3],
      [4 / 3, 1 / 3],
      [5 / 3, 1 / 3],
      [2, 0.5],
      [2.5, 0.5],
    ]);
    expect(phrase.voices[0].tuplets).toEqual([
      { onset: 10_080, duration: 10_080, actual: 3, normal: 2 },
    ]);
    expect(said).toContain('strings in standard tuning'.slice(11));
    expect(said).toContain('spelling of 6 notes');
  });

  it('swings where its second eighths come late, and is written even', () => {
    const notes = Array.from(
      { length: 8 },
      (_, i) => [Math.floor(i / 2) * 480 + (i % 2) * 320, i % 2 === 0 ? 320 : 160, 60 + i] as const,
    );
    const { phrase } = read(midiFile(480, [track('a', notes)]));
    expect(phrase.feel).toEqual({ kind: 'swing', unit: 'eighth', first: 2, second: 1 });
    expect(rhythm(phrase)).toEqual(notes.map((_, i) => [i / 2, 0.5]));
  });

  it('is put on the grid where a hand played it, and says so', () => {
    const off = [7, -9, 12, 5, -6, 10, -11, 8];
    const notes = off.map((d, i) => [Math.max(0, 240 * i + d), 190 + d, 60 + i] as const);
    const { phrase, said } = read(midiFile(480, [track('a', notes)]));
    expect(rhythm(phrase)).toEqual(notes.map((_, i) => [i / 2, 0.5]));
    expect(phrase.voices[0].events.every((e) => e.guessed)).toBe(true);
    expect(said).toContain('nearest note values');
  });

  it('has a channel a string where a guitar sent it so, and bends are read back (RPN 0 of MIDI 1.0)', () => {
    const bends = Array.from({ length: 21 }, (_, i): TrackEvent => {
      const value = 8192 + Math.round((8191 * i) / 20);
      return { at: 10 + i * 12, rank: 3, bytes: [0xe2, value & 127, value >> 7] };
    });
    const back: TrackEvent = { at: 480, rank: 1, bytes: [0xe2, 0, 64] };
    const notes = track('Guitar', [
      [0, 480, 60, 2],
      [480, 480, 64, 1],
      [960, 960, 67, 0],
    ]);
    const { phrase } = read(midiFile(480, [[...notes, ...bends, back]]));
    const all = notesOf(phrase).map(({ note }) => note);
    expect(all.map((n) => [n.string, n.fret])).toEqual([
      [3, 5],
      [2, 5],
      [1, 3],
    ]);
    expect(all[0]).toMatchObject({ bend: { shape: 'bend', target: { letter: 'D', octave: 4 } } });
  });

  it('has several parts, of which one is chosen; drums are none', () => {
    const file = midiFile(480, [
      track('Keys', [[0, 480, 72]]),
      track('Drums', [[0, 480, 38, 9]]),
      track('Bass', [[0, 480, 40]]),
    ]);
    const first = read(file);
    expect(notesOf(first.phrase)).toHaveLength(1);
    expect(first.said).toContain('2 (Bass)');
    expect(first.said).toContain('drums');
    expect(notesOf(read(file, 2).phrase)[0]!.note).toMatchObject({
      pitch: { letter: 'E', octave: 2 },
    });
    expect(readMidi(file, { ...options(), part: 3 })).toMatchObject({ ok: false });
  });

  it('tells of notes without a length or an end, and passes over bytes behind the last track', () => {
    const bytes = midiFile(480, [
      [
        ...track('a', [[480, 480, 62]]),
        { at: 0, rank: 2, bytes: [0x90, 60, 80] },
        { at: 0, rank: 3, bytes: [0x80, 60, 0] },
        { at: 480, rank: 2, bytes: [0x90, 67, 80] },
        // Drums are not read whatever their length.
        { at: 0, rank: 2, bytes: [0x99, 60, 80] },
        { at: 0, rank: 3, bytes: [0x89, 60, 0] },
      ],
    ]);
    const { phrase, said } = read(new Uint8Array([...bytes, ...new Uint8Array(9).fill(0x6a)]));
    expect(notesOf(phrase)).toHaveLength(2);
    expect(said).toContain('notes that end where they begin are left out, 1 in the file');
    expect(said).toContain('notes that nothing ends are held to the end of their track');
  });

  it('of a keyboard is read by the staff, the upper from middle C on, and its refusal names what helps', () => {
    const keys = midiFile(480, [
      track('Piano', [
        [0, 480, 24],
        [0, 480, 64],
        [480, 480, 100],
      ]),
    ]);
    const say = (choice: Partial<DecodeFileOptions>) => {
      const r = decodeFile('x.mid', keys, { ...options(), ...choice });
      if (!r.ok) return formatProblem(r.problems[0]!);
      return notesOf(r.value.phrases[0]!).map(({ note }) => placeMidi(STANDARD_GUITAR, note));
    };
    // C1 lies on a bass of five strings alone, E7 on nothing.
    expect(say({})).toMatch(/^bar 1, beat 1: C1 and 1 more note cannot be played/u);
    expect(say({})).toContain('Read staff 2. In a MIDI file staff 1 is');
    expect(say({ staff: 1 })).toContain('Read it with the octave -1.');
    expect(say({ staff: 1, octave: -1 })).toEqual([52, 88]);
    const upper = decodeFile('x.mid', keys, { ...options(), staff: 1, octave: -1 });
    expect(JSON.stringify(upper)).toContain('1 note on the other side is not');
    expect(say({ staff: 3 })).toContain('staff 1 is what lies from middle C up');
    // A part that no choice brings onto an instrument says nothing of one.
    const wide = midiFile(480, [
      track('x', [
        [0, 480, 61],
        [0, 480, 127],
        [0, 9, 1],
        [9, 9, 59],
      ]),
    ]);
    const r = decodeFile('x.mid', wide, options());
    expect(r.ok ? '' : r.problems[0]!.fix).toContain('Move the notes outside');
  });

  it('loses what no string is left for, first what another note doubles, and says how much', () => {
    const chord = [40, 52, 55, 59, 62, 64, 66, 71].map((key): [number, number, number] => [
      0,
      480,
      key,
    ]);
    const { phrase, said } = read(midiFile(480, [track('Piano', [...chord, [480, 480, 67]])]));
    const midis = notesOf(phrase).map(({ note }) => placeMidi(phrase.instrument, note));
    // E and B are there twice: of the eight, E3, B3 and E4 go before D, F# and G do.
    expect(midis).toEqual(expect.arrayContaining([40, 55, 62, 66, 71, 67]));
    expect(midis.length).toBeLessThanOrEqual(7);
    expect(said).toContain('notes that no string is left for');
  });

  it('is refused with the place of what is wrong', () => {
    const file = midiFile(480, [track('a', [[0, 480, 60]])]);
    const problem = (bytes: Uint8Array) => {
      const r = decodeFile('x.mid', bytes, options());
      return r.ok ? '' : r.problems[0]!.message;
    };
    expect(problem(file.slice(0, 30))).toMatch(/track 1, which begins at byte 14/u);
    const frames = file.slice();
    frames[12] = 0xe7;
    expect(problem(frames)).toContain('frames');
    const odd = file.slice();
    odd[27] = 0xf4;
    expect(problem(odd)).toMatch(/track 1, which begins at byte 14/u);
    expect(problem(midiFile(480, [head(textMeta(3, 'empty'))]))).toContain('no notes');
    // A length of five bytes, which the standard does not have, once was read for ever.
    const endless = midiFile(480, [
      [{ at: 0, rank: 0, bytes: [0xff, 5, 0xd9, 0xec, 0x95, 0x99, 0] }],
    ]);
    expect(problem(endless)).toMatch(
      /track 1, which begins at byte 14, holds what is no MIDI event/u,
    );
  });
});
