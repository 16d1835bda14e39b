/**
 * `capture-clips FOLDER SEED COUNT [DOWN [BESIDE]]`: clips for training the capture model, played by our own strings, with what
 * is to be read of each frame; one file `SEED.clips`. With DOWN the guitar is tuned so many semitones lower, and is heard from
 * the row on that `firstRow` gives for it; the file is `SEED-ROW.clips`. With BESIDE that share of bends has a note
 * on the next string beside it. A clip is 131,072 samples of 16 bits at 22,050 Hz, then
 * onset (0 to 255), sounding, offset in 1/200 semitone (signed), kind of attack (255 for none) and flags (1 bend,
 * 2 vibrato, 4 slide, 8 muted), each 512 frames by 54 pitches of 8 bits from MIDI 37 (ROW) on, then dead strokes
 * (512 of 8 bits) and the string of what sounds (512 by 54 of 8 bits: 0 for the first string, 255 where nothing or two
 * strings sound). The same labels as `src/sound/capture/model/training/gen.py` makes.
 */
import { closeSync, openSync, writeSync } from 'node:fs';
import path from 'node:path';
import { lowestOpen } from '../../src/core/phrase/instrument';
import type { Phrase, PitchedNote } from '../../src/core/phrase/types';
import { notesOf } from '../../src/core/phrase/walk';
import { centsAt } from '../../src/core/sound/curve';
import { type PerformOptions, perform } from '../../src/core/sound/perform';
import type { ToneName } from '../../src/core/sound/tone';
import type { Sound } from '../../src/core/sound/types';
import { midiOf, pitchOfMidi } from '../../src/core/theory/pitch';
import { firstRow, LOWEST } from '../../src/sound/capture/network-shape';
import { renderPhrase } from '../../src/sound/render';
import { TONE } from '../../src/sound/strings/tones';
import type { Feature } from '../support/arbitrary';
import { bentBeside } from '../support/bent-beside';
import { Dice } from '../support/generate/dice';
import { seededPhrase } from '../support/generate/phrase';
import { playedPhrase } from '../support/played-phrase';

const RATE = 22_050;
const HOP = 256;
const FRAMES = 512;
const SAMPLES = FRAMES * HOP;
const PITCHES = 54;
/** Seconds from one clip of a phrase to the next. */
const STEP = 5.2;
const TONES: readonly ToneName[] = [
  'clean',
  'clean',
  'driven',
  'driven',
  'steel',
  'steel',
  'nylon',
];
/** A share of phrases that no hand plays, so that no order of notes is taken for granted. */
const WILD = 0.2;
const WITHOUT: readonly Feature[] = [
  'tunings',
  'capo',
  'meter changes',
  'partial bar',
  'repeats',
  'fine rhythm',
  'trills',
  'harmonics',
  'bar dips',
  'rakes',
];
const KIND = { plucked: 0, hammered: 1, pulled: 2, slid: 3, tapped: 1 } as const;
const FLAG = { bend: 1, vibrato: 2, slide: 4, muted: 8 } as const;
/** Nepers a second that the palm multiplies (string-voice.ts). */
const PALM = 18;

interface Label {
  readonly onset: number;
  readonly end: number;
  readonly sound: Sound;
  /** The pitch in whose row the onset stands, a MIDI number. */
  readonly pitch: number;
  /** Flags with the seconds between which they hold, from the onset of the sound. */
  readonly flags: readonly { readonly flag: number; readonly from: number; readonly to: number }[];
}

function bendSpan(n: PitchedNote, length: number): readonly [number, number] | null {
  if (n.bend === undefined) return null;
  const { curve } = n.bend;
  const first = curve.findIndex((p, i) => p.amount !== 0 || (curve[i + 1]?.amount ?? 0) !== 0);
  const from = curve[0]!.amount > 0 ? 0 : (curve[Math.max(0, first)]?.at ?? 0);
  let to = 100;
  if (curve.at(-1)!.amount === 0) {
    const back = [...curve].reverse().findIndex((p) => p.amount !== 0);
    to = curve[curve.length - back]?.at ?? 100;
  }
  return [(from / 100) * length, (to / 100) * length];
}

/** When a slide into a note has arrived; seconds from its onset. */
function slideInEnd(n: PitchedNote, s: Sound): number | null {
  if (n.slideIn === undefined) return null;
  for (let t = 0; t < Math.min(0.3, s.length); t += 0.005) {
    if (Math.abs(centsAt({ curve: s.curve }, t) - centsAt({ curve: s.curve }, 0)) < 1) continue;
    const ahead = Math.abs(centsAt({ curve: s.curve }, t + 0.01) - centsAt({ curve: s.curve }, t));
    if (ahead < 1 && t > 0.03) return t;
  }
  return 0.08;
}

/** The moment from which a sound is on its way to what it is slid to. */
function glideFrom(s: Sound, to: Sound): number {
  const goal = 100 * (to.midi - s.midi);
  const time = Math.max(0.05, Math.min(0.25, 0.025 * Math.abs(goal / 100)));
  return Math.max(0.5 * s.length, s.length - time);
}

function labelsOf(
  p: Phrase,
  tone: ToneName,
  o: PerformOptions,
): { labels: Label[]; dead: number[]; length: number } {
  const played = perform(p, o);
  const notes = new Map(
    notesOf(p).flatMap(({ note }) => (note.kind === 'pitched' ? [[note.id, note] as const] : [])),
  );
  const dead: number[] = [];
  const labels: Label[] = [];
  const sounds = played.sounds;
  for (const s of sounds) {
    if (s.manner === 'dead' || s.manner === 'scrape') {
      if (s.manner === 'dead') dead.push(s.onset);
      continue;
    }
    const note = s.noteId === null ? undefined : notes.get(s.noteId);
    const flags: { flag: number; from: number; to: number }[] = [];
    if (note !== undefined) {
      const bend = bendSpan(note, s.length);
      if (bend !== null) flags.push({ flag: FLAG.bend, from: bend[0], to: bend[1] });
      const into = slideInEnd(note, s);
      if (into !== null) flags.push({ flag: FLAG.slide, from: 0, to: into });
    }
    if (s.shake !== undefined) flags.push({ flag: FLAG.vibrato, from: s.shake.from, to: s.length });
    if (s.manner === 'palm') flags.push({ flag: FLAG.muted, from: 0, to: s.length });
    const next = sounds.find(
      (q) =>
        q.string === s.string && q.onset > s.onset + 0.01 && q.onset < s.onset + s.length + 0.02,
    );
    const nextNote = next?.noteId == null ? undefined : notes.get(next.noteId);
    const slidTo = next?.begin === 'slid' || nextNote?.attack === 'slide-plucked';
    if (next !== undefined && slidTo) {
      flags.push({ flag: FLAG.slide, from: glideFrom(s, next), to: s.length + 0.012 });
    } else if (note?.slideOut !== undefined) {
      flags.push({ flag: FLAG.slide, from: s.length - Math.min(0.18, s.length / 2), to: s.length });
    }
    const { loss, lossOctave } = TONE[tone];
    const open = s.midi - s.fret;
    const low = loss * lossOctave ** ((open - 40) / 12) * (s.manner === 'palm' ? PALM : 1);
    const rings = (0.6 * 6.9) / low;
    const bent = centsAt(s, 0) / 100;
    labels.push({
      onset: s.onset,
      end: s.onset + Math.min(s.length, rings) + 0.006,
      sound: s,
      pitch: Math.round(s.midi + (note?.slideIn === undefined ? bent : 0)),
      flags,
    });
  }
  return { labels, dead, length: played.length };
}

class Clip {
  readonly on = new Uint8Array(FRAMES * PITCHES);
  readonly so = new Uint8Array(FRAMES * PITCHES);
  readonly of = new Int8Array(FRAMES * PITCHES);
  readonly ty = new Uint8Array(FRAMES * PITCHES).fill(255);
  readonly te = new Uint8Array(FRAMES * PITCHES);
  readonly de = new Uint8Array(FRAMES);
  readonly st = new Uint8Array(FRAMES * PITCHES).fill(255);
  private readonly lowest: number;

  /** @param lowest The pitch of the first row, a MIDI number. */
  constructor(lowest: number) {
    this.lowest = lowest;
  }

  /** @param from Seconds of the performance at the first frame. */
  put(l: Label, from: number): void {
    const start = l.onset - from;
    const end = l.end - from;
    const first = Math.max(0, Math.ceil((start * RATE) / HOP));
    const last = Math.min(FRAMES - 1, Math.floor((end * RATE) / HOP));
    for (let f = first; f <= last; f++) {
      const t = (f * HOP) / RATE - start;
      const pitch = l.sound.midi + centsAt(l.sound, t) / 100;
      const row = Math.round(pitch) - this.lowest;
      if (row < 0 || row >= PITCHES) continue;
      const i = f * PITCHES + row;
      const string = l.sound.string - 1;
      this.st[i] = this.so[i] === 0 || this.st[i] === string ? string : 255;
      this.so[i] = 1;
      this.of[i] = Math.round((pitch - Math.round(pitch)) * 200);
      if (!isBent(l)) this.te[i] = this.te[i]! & ~FLAG.bend;
      for (const x of l.flags) if (t >= x.from && t <= x.to) this.te[i] = this.te[i]! | x.flag;
    }
    const row = l.pitch - this.lowest;
    if (row < 0 || row >= PITCHES) return;
    this.peak(start, (f, w) => {
      const i = f * PITCHES + row;
      if (w <= this.on[i]!) return;
      this.on[i] = w;
      this.ty[i] = KIND[l.sound.begin];
    });
  }

  putDead(at: number): void {
    this.peak(at, (f, w) => {
      this.de[f] = Math.max(this.de[f]!, w);
    });
  }

  private peak(at: number, put: (frame: number, weight: number) => void): void {
    const frame = (at * RATE) / HOP;
    for (let f = Math.floor(frame) - 1; f < Math.floor(frame) + 3; f++) {
      const w = Math.round(255 * Math.max(0, 1 - Math.abs(f - frame) / 1.75));
      if (f >= 0 && f < FRAMES && w > 0) put(f, w);
    }
  }
}

function isBent(l: Label): boolean {
  return l.flags.some((f) => f.flag === FLAG.bend);
}

/** The same frets on strings that are tuned lower. */
function tunedDown(p: Phrase, by: number): Phrase {
  const tuning = p.instrument.tuning.map((t) => pitchOfMidi(midiOf(t) - by, 'flat'));
  return { ...p, instrument: { ...p.instrument, tuning } };
}

function main(): void {
  const [folder, seedText, countText, downText, besideText] = process.argv.slice(2);
  if (folder === undefined || countText === undefined)
    throw new Error('FOLDER SEED COUNT [DOWN [BESIDE]]');
  const down = Number(downText ?? 0);
  const lowest =
    down === 0 ? LOWEST : firstRow(lowestOpen(tunedDown(playedPhrase(0), down).instrument));
  const name = down === 0 ? `${seedText}.clips` : `${seedText}-${lowest}.clips`;
  const out = openSync(path.join(folder, name), 'w');
  let left = Number(countText);
  for (let seed = Number(seedText); left > 0; seed++) {
    const dice = new Dice(seed, 77);
    const wild = dice.chance(WILD);
    const made = wild ? seededPhrase(seed, { without: WITHOUT }) : playedPhrase(seed);
    const besides = bentBeside(made, Number(besideText ?? 0), new Dice(seed, 78));
    const p = tunedDown(besides, down);
    const tone = dice.pick(TONES);
    const o: PerformOptions = {
      speed: 0.01 * dice.int(80, 125),
      slides: dice.chance(0.5) ? 'gliding' : 'stepped',
    };
    const { labels, dead, length } = labelsOf(p, tone, o);
    // A note that is held keeps its row where a bend arrives in it.
    const ordered = [...labels].sort((a, b) => Number(isBent(b)) - Number(isBent(a)));
    const sound = renderPhrase(p, { rate: RATE, tail: 1.2, tone, ...o });
    const many = Math.min(4, Math.max(1, Math.round(length / STEP)));
    for (let k = 0; k < many && left > 0; k++, left--) {
      const from = k * STEP - 0.5 + 0.001 * dice.int(0, 500);
      const clip = new Clip(lowest);
      for (const l of ordered) clip.put(l, from);
      for (const d of dead) clip.putDead(d - from);
      const audio = new Int16Array(SAMPLES);
      const shift = Math.round(from * RATE);
      for (let i = 0; i < SAMPLES; i++) {
        audio[i] = Math.max(
          -32_768,
          Math.min(32_767, Math.round(24_000 * (sound[i + shift] ?? 0))),
        );
      }
      for (const part of [audio, clip.on, clip.so, clip.of, clip.ty, clip.te, clip.de, clip.st]) {
        writeSync(out, Buffer.from(part.buffer));
      }
    }
  }
  closeSync(out);
}

main();
