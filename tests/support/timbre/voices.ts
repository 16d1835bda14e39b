import { execFileSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { type MidiEvent, writeMidi } from 'midi-file';
import type { Instrument } from '../../../src/core/phrase/types';
import type { ToneName } from '../../../src/core/sound/tone';
import type { Sound } from '../../../src/core/sound/types';
import { BLOCK } from '../../../src/sound/dsp/block';
import { Rig } from '../../../src/sound/strings/rig';
import { readWav, type Stem, stemOf, type TakenNote } from './recording';
import { RATE } from './spectrum';

/** An annotated note as a sound of ours. */
export function soundOf(n: TakenNote): Sound {
  const midi = Math.round(n.midi);
  const count = Math.max(1, Math.ceil(n.length / 0.005));
  const curve = Array.from({ length: count + 1 }, (_, i) => {
    const at = (i * n.length) / count;
    return { at, cents: 100 * (n.pitch(at) - midi) };
  });
  return {
    noteId: null,
    voice: 0,
    string: 6 - n.string,
    fret: n.fret,
    onset: 0,
    length: n.length,
    tick: 0,
    level: n.level,
    begin: 'plucked',
    manner: 'open',
    midi,
    curve,
  };
}

/** Every note alone through our strings and body. */
export function ours(
  notes: readonly TakenNote[],
  instrument: Instrument,
  tone: ToneName,
): readonly Stem[] {
  return notes.map((n) => {
    const rig = new Rig(instrument, tone, RATE);
    rig.play([soundOf(n)], 0, 0);
    const blocks = Math.ceil(((n.length + 0.35) * RATE) / BLOCK);
    const out = new Float32Array(blocks * BLOCK);
    const block = new Float64Array(BLOCK);
    for (let b = 0; b < blocks; b++) if (rig.run(block, b * BLOCK)) out.set(block, b * BLOCK);
    return stemOf(out);
  });
}

const FONT = '/usr/share/sounds/sf2/FluidR3_GM.sf2';

/** Why there is no font to compare with; null where there is one. */
export function fontMissing(): string | null {
  if (!existsSync(FONT)) return `${FONT} is absent (Debian package fluid-soundfont-gm)`;
  try {
    execFileSync('fluidsynth', ['--version'], { stdio: 'ignore' });
    return null;
  } catch {
    return 'fluidsynth is absent (Debian package fluidsynth)';
  }
}

const TICKS_A_SECOND = 2000;
/** Seconds from one note to the next, so that each rings out alone. */
const APART = 3.5;

/** Every note alone through a General MIDI program of Fluid R3 (MIT), bent along its contour. */
export function font(
  notes: readonly TakenNote[],
  program: number,
  velocity: number,
): readonly Stem[] {
  const folder = mkdtempSync(path.join(tmpdir(), 'font-'));
  try {
    const midi = path.join(folder, 'notes.mid');
    const wav = path.join(folder, 'notes.wav');
    writeFileSync(midi, Uint8Array.from(writeMidi(fontMidi(notes, program, velocity))));
    const quiet = ['-ni', '-q', '-R', '0', '-C', '0', '-g', '0.6', '-r', String(RATE), '-F', wav];
    execFileSync('fluidsynth', [...quiet, FONT, midi], { stdio: 'ignore' });
    // Two channels, which are alike without effects: every second sample.
    const both = readWav(readFileSync(wav));
    const x = both.filter((_, i) => i % 2 === 0);
    return notes.map((n, i) => {
      const from = Math.round((0.48 + i * APART) * RATE);
      return stemOf(x.slice(from, from + Math.round((n.length + 0.37) * RATE)));
    });
  } finally {
    rmSync(folder, { recursive: true });
  }
}

function fontMidi(notes: readonly TakenNote[], program: number, velocity: number) {
  const timed: { at: number; event: Omit<MidiEvent, 'deltaTime'> }[] = [];
  const add = (seconds: number, event: Omit<MidiEvent, 'deltaTime'>) =>
    timed.push({ at: Math.round(seconds * TICKS_A_SECOND), event: { channel: 0, ...event } });
  const control = (controllerType: number, value: number) =>
    add(0, { type: 'controller', controllerType, value });
  add(0, { type: 'programChange', programNumber: program });
  for (const [type, value] of [
    [101, 0],
    [100, 0],
    [6, 12],
    [38, 0],
  ] as const) {
    control(type, value);
  }
  notes.forEach((n, i) => {
    const at = 0.5 + i * APART;
    const noteNumber = Math.round(n.midi);
    const bend = (midi: number) =>
      Math.max(-8192, Math.min(8191, Math.round(((midi - noteNumber) / 12) * 8192)));
    add(at - 0.01, { type: 'pitchBend', value: bend(n.pitch(0)) });
    add(at, { type: 'noteOn', noteNumber, velocity });
    for (let t = 0.005; t < n.length; t += 0.005) {
      add(at + t, { type: 'pitchBend', value: bend(n.pitch(t)) });
    }
    add(at + n.length, { type: 'noteOff', noteNumber, velocity: 0 });
  });
  timed.sort((a, b) => a.at - b.at);
  let last = 0;
  const track = timed.map(({ at, event }) => {
    const deltaTime = at - last;
    last = at;
    return { deltaTime, ...event };
  });
  return {
    header: { format: 0, numTracks: 1, ticksPerBeat: 1000 },
    tracks: [
      [
        { deltaTime: 0, type: 'setTempo', microsecondsPerBeat: 500_000 },
        ...track,
        { deltaTime: 4000, type: 'endOfTrack' },
      ],
    ],
  };
}
