import { existsSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import path from 'node:path';
import { Listener } from '../../src/sound/capture/listen';
import { resample } from '../../src/sound/capture/resample';
import { renderPhrase } from '../../src/sound/render';
import { captureWeights } from '../support/capture-model';
import { CONDITIONS, SEEDS } from '../support/catch-goals';
import { HEARD_RATE, heardBack } from '../support/caught';
import { recordedSolo } from '../support/guitarset';
import { matchNotes, scoreOf, type TimedPitch } from '../support/note-score';
import { playedPhrase } from '../support/played-phrase';
import { heardIn } from '../support/rooms';

/**
 * `npx tsx tests/scripts/catch-beside.ts FOLDER [COUNT]`: a published open pitch model (Bittner, Bosch, Rubinstein, Meseguer-Brocal,
 * Ewert, ICASSP 2022; Apache 2.0, in the package as published) and ours on the same recordings with the same scorer: the recorded
 * solo, and COUNT phrases of our own player (none where not said). FOLDER is where its package lies, installed with what it
 * needs, outside of this repository: it is a reference, and nothing here depends on it. Without a graphics card it takes some
 * twenty times as long as the recording and more where others compute beside it: what is known is printed as it comes.
 */
const [folder, count = '0'] = process.argv.slice(2);
/** Its window is written for this rate. */
const ITS_RATE = 22_050;
const MODEL = 'model/model.json';

type Rows = number[][];

/** What its package has that is used here. */
interface Its {
  readonly BasicPitch: new (
    model: unknown,
  ) => {
    evaluateModel(
      samples: Float32Array,
      take: (frames: Rows, onsets: Rows) => void,
      share: (p: number) => void,
    ): Promise<void>;
  };
  outputToNotesPoly(
    frames: Rows,
    onsets: Rows,
    onset?: number,
    frame?: number,
    shortest?: number,
  ): unknown[];
  noteFramesToTime(notes: unknown[]): { startTimeSeconds: number; pitchMidi: number }[];
}

interface Settings {
  readonly onset?: number;
  readonly frame?: number;
  readonly shortest?: number;
}

/** A recording with what was played. */
interface Case {
  readonly samples: Float32Array;
  readonly rate: number;
  readonly reference: readonly (TimedPitch & { readonly also?: readonly number[] })[];
}

/** Of one system on several recordings. */
class Sum {
  private hit = 0;
  private there = 0;
  private said = 0;

  add({ reference }: Case, heard: readonly TimedPitch[]): void {
    const pairs = matchNotes(
      reference,
      heard,
      (r, h) =>
        Math.abs(r.at - h.at) <= 0.05 + 1e-9 &&
        [r.midi, ...(r.also ?? [])].some((m) => Math.abs(m - h.midi) <= 0.5 + 1e-9),
    );
    this.hit += pairs.length;
    this.there += reference.length;
    this.said += heard.length;
  }

  get f(): number {
    return scoreOf(this.hit, this.there, this.said).f;
  }

  toString(): string {
    const { f, precision, recall } = scoreOf(this.hit, this.there, this.said);
    return `F ${f.toFixed(3)} (P ${precision.toFixed(3)}, R ${recall.toFixed(3)}), ${this.said} heard of ${this.there}`;
  }
}

/** The model without a graphics card, out of its folder. */
async function theirs(at: string) {
  const require = createRequire(path.join(at, 'package.json'));
  const its = require(at) as Its;
  const tf = require('@tensorflow/tfjs') as {
    setBackend(name: string): Promise<boolean>;
    loadGraphModel(io: { load(): Promise<unknown> }): Promise<unknown>;
  };
  await tf.setBackend('cpu');
  const json = JSON.parse(readFileSync(path.join(at, MODEL), 'utf8')) as {
    modelTopology: unknown;
    weightsManifest: { paths: string[]; weights: unknown[] }[];
  };
  const parts = json.weightsManifest.flatMap((m) => m.paths);
  const bytes = Buffer.concat(
    parts.map((p) => readFileSync(path.join(at, path.dirname(MODEL), p))),
  );
  const load = async () => ({
    modelTopology: json.modelTopology,
    weightSpecs: json.weightsManifest.flatMap((m) => m.weights),
    weightData: Uint8Array.from(bytes).buffer,
  });
  const model = new its.BasicPitch(await tf.loadGraphModel({ load }));
  const raw = async ({ samples, rate }: Case, progress: (share: number) => void) => {
    const frames: Rows = [];
    const onsets: Rows = [];
    const take = (f: Rows, o: Rows) => {
      frames.push(...f);
      onsets.push(...o);
    };
    await model.evaluateModel(resample(samples, rate, ITS_RATE), take, progress);
    return { frames, onsets };
  };
  const notes = ({ frames, onsets }: { frames: Rows; onsets: Rows }, s: Settings = {}) =>
    its
      .noteFramesToTime(
        its.outputToNotesPoly(copy(frames), copy(onsets), s.onset, s.frame, s.shortest),
      )
      .map((n) => ({ at: n.startTimeSeconds, midi: n.pitchMidi }));
  return { raw, notes };
}

/** It writes into what it is given. */
function copy(rows: Rows): Rows {
  return rows.map((r) => [...r]);
}

/** Phrases of our own player, which neither model has heard, in all tones, rooms and noises in turn. */
function ours(howMany: number): readonly Case[] {
  return Array.from({ length: howMany }, (_, i): Case => {
    const c = CONDITIONS[i % CONDITIONS.length]!;
    const p = playedPhrase(SEEDS.report + i);
    const dry = renderPhrase(p, { rate: HEARD_RATE, tail: 0.8, tone: c.tone });
    const samples = heardIn(dry, HEARD_RATE, c.room, c.noise, i);
    const none = { notes: [], dead: [], seconds: dry.length / HEARD_RATE };
    const reference = heardBack(p, none)
      .reference.filter((r) => r.note !== undefined)
      .map((r) => ({ at: r.at, midi: r.midi, also: [r.plain, r.settled] }));
    return { samples, rate: HEARD_RATE, reference };
  });
}

/** Says how long it has worked, with what it has done so far. */
function sayer(): (what: string) => void {
  const began = performance.now();
  return (what) => console.log(`  [${((performance.now() - began) / 1000).toFixed(0)} s] ${what}`);
}

async function compare(title: string, cases: readonly Case[], at: string): Promise<void> {
  const say = sayer();
  console.log(`${title}: onset within 50 ms, pitch within 50 cents`);
  const listener = new Listener(captureWeights());
  const own = new Sum();
  for (const c of cases) {
    const { notes } = listener.hear(c.samples, c.rate);
    own.add(
      c,
      notes.map((n) => ({ at: n.onset, midi: n.pitch })),
    );
  }
  say(`ours, as it is:                ${own}`);
  const its = await theirs(at);
  const all: { readonly c: Case; readonly raw: Awaited<ReturnType<typeof its.raw>> }[] = [];
  for (const [i, c] of cases.entries()) {
    const raw = await its.raw(c, (share) => {
      say(`the open model has heard ${Math.round((100 * (i + share)) / cases.length)}%`);
    });
    all.push({ c, raw });
  }
  const sumOf = (s?: Settings) => {
    const sum = new Sum();
    for (const { c, raw } of all) sum.add(c, its.notes(raw, s));
    return sum;
  };
  say(`the open model, as it is:      ${sumOf()}`);
  let best: { sum: Sum; s: Settings } | null = null;
  for (let onset = 0.1; onset < 0.95; onset += 0.05) {
    for (const frame of [0.1, 0.2, 0.3, 0.4, 0.5])
      for (const shortest of [3, 5, 8, 11]) {
        const s = { onset, frame, shortest };
        const sum = sumOf(s);
        if (best === null || sum.f > best.sum.f) best = { sum, s };
      }
    say(`settings up to onset ${onset.toFixed(2)}: at best F ${best!.sum.f.toFixed(3)}`);
  }
  const { onset = 0, frame, shortest } = best!.s;
  say(
    `the same, best on these alone: ${best!.sum} (onset ${onset.toFixed(2)}, frame ${frame}, ${shortest} frames at least)`,
  );
}

if (folder === undefined || !existsSync(path.join(folder, MODEL))) {
  console.log(
    `skipped: ${folder === undefined ? 'no folder of the open model was said' : `no ${MODEL} in ${folder}`}`,
  );
} else {
  const solo = recordedSolo();
  if (typeof solo === 'string') console.log(`skipped: ${solo}`);
  else {
    const { samples, rate } = solo.sound;
    await compare('recorded solo', [{ samples, rate, reference: solo.notes }], folder);
  }
  if (Number(count) > 0) {
    await compare(`${count} phrases of our own player`, ours(Number(count)), folder);
  }
}
