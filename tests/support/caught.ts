import type { HeardNote } from '../../src/core/heard/types';
import { beatTicks } from '../../src/core/phrase/time';
import { type Phrase, type PitchedNote, TICKS_PER_QUARTER } from '../../src/core/phrase/types';
import { bendSemitones, notesOf } from '../../src/core/phrase/walk';
import { perform } from '../../src/core/sound/perform';
import { midiOf } from '../../src/core/theory/pitch';
import { phrasesOf } from '../../src/io/heard/phrases';
import { takeOf } from '../../src/io/heard/take';
import type { Listener } from '../../src/sound/capture/listen';
import { type RenderOptions, renderPhrase } from '../../src/sound/render';
import { matchNotes } from './note-score';

/** Hits, how many there were and how many were said: adds up over phrases. */
export class Tally {
  private readonly counts = new Map<string, [number, number, number]>();

  add(name: string, hit: number, there: number, said: number): void {
    const c = this.counts.get(name) ?? [0, 0, 0];
    this.counts.set(name, [c[0] + hit, c[1] + there, c[2] + said]);
  }

  join(other: Tally): void {
    for (const [name, c] of other.counts) this.add(name, ...c);
  }

  names(): readonly string[] {
    return [...this.counts.keys()];
  }

  of(name: string): { f: number; hit: number; there: number; said: number } {
    const [hit, there, said] = this.counts.get(name) ?? [0, 0, 0];
    return { f: (2 * hit) / Math.max(1, there + said), hit, there, said };
  }
}

export interface PlayedBack {
  readonly tally: Tally;
  /** Cents by which bends were heard wider or narrower. */
  readonly widths: readonly number[];
  readonly written: Phrase | null;
  readonly said: string | null;
}

export interface PlayBackOptions extends RenderOptions {
  /** Whether the tempo is told. */
  readonly told?: boolean;
  /** Changes the sound on its way: a room, noise. */
  readonly through?: (x: Float32Array) => Float32Array;
}

const RATE = 22_050;

/** Beats of the meter a minute. */
function beatsAMinute(p: Phrase): number {
  const unit = { eighth: 0.5, quarter: 1, 'dotted-quarter': 1.5, half: 2 }[p.tempo.unit];
  const beat = beatTicks(p.bars[0]!.meter) / TICKS_PER_QUARTER;
  return (p.tempo.bpm * unit) / beat;
}

/** Plays a phrase as sound, hears it, writes it, and counts what came back. */
export function playBack(p: Phrase, listener: Listener, o: PlayBackOptions = {}): PlayedBack {
  const tally = new Tally();
  const samples = renderPhrase(p, { rate: RATE, tail: 0.6, ...o });
  const heard = listener.hear(o.through?.(samples) ?? samples, RATE);
  const notes = new Map(
    notesOf(p).flatMap(({ note }) => (note.kind === 'pitched' ? [[note.id, note] as const] : [])),
  );
  const sounds = perform(p, o).sounds.filter((s) => s.manner !== 'dead' && s.manner !== 'scrape');
  const reference = sounds.map((s) => ({
    at: s.onset,
    midi: s.midi + s.curve[0]!.cents / 100,
    settled: s.midi + Math.max(...s.curve.map((c) => c.cents)) / 100,
    plain: s.midi,
    sound: s,
    note: s.noteId === null ? undefined : notes.get(s.noteId),
  }));
  const said = heard.notes.map((n) => ({ at: n.onset, midi: n.start, settled: n.pitch, heard: n }));
  const pairs = matchNotes(
    reference,
    said,
    (r, h) =>
      Math.abs(r.at - h.at) <= 0.05 &&
      (Math.abs(r.midi - h.midi) <= 0.5 ||
        Math.abs(r.plain - h.settled) <= 0.5 ||
        Math.abs(r.settled - h.settled) <= 0.5),
  );
  const main = reference.filter((r) => r.note !== undefined).length;
  const hitMain = pairs.filter(([r]) => reference[r]!.note !== undefined).length;
  // Graces and rakes need not be heard, and are no mistake where they are.
  tally.add('notes', hitMain, main, said.length - (pairs.length - hitMain));
  const widths: number[] = [];
  countTechniques(
    tally,
    reference.map((r, i) => {
      const pair = pairs.find(([k]) => k === i);
      const again = reference.findIndex((q) => q.note === r.note) < i;
      return {
        note: again ? undefined : r.note,
        begin: r.sound.begin,
        heard: pair && said[pair[1]]!.heard,
      };
    }),
    said.filter((_, j) => !pairs.some(([, k]) => k === j)).map((s) => s.heard),
    widths,
  );
  const meter = p.bars[0]!.meter;
  const lane = { key: p.key, instrument: p.instrument, meter };
  const tempo = o.told === false ? {} : { bpm: beatsAMinute(p), start: 0 };
  const take = takeOf(heard, { ...lane, ...tempo });
  if (!take.ok) return { tally, widths, written: null, said: take.problems[0]!.message };
  const names = { newId: () => 'caught', now: '2026-11-27T00:00:00Z', title: 'Caught' };
  const made = phrasesOf(take.value, names, 'whole');
  if (!made.ok) return { tally, widths, written: null, said: made.problems[0]!.message };
  const [caught] = made.value;
  const straight = p.bars.every((b) => b.repeatEnd === undefined && b.ending === undefined);
  const written = new Map(
    notesOf(caught!.phrase).map(({ note, event }) => [
      caught!.heard.get(note.id)!,
      { note, event },
    ]),
  );
  const origin = new Map(notesOf(p).map(({ note, event }) => [note.id, event]));
  // Without a tempo that is told, what is compared is the distance to the first note.
  const ratio = o.told === false ? take.value.secondsPerTick / secondsPerTickOf(p) : 1;
  const first = o.told === false ? pairs.map(([r, h]) => ({ r, h })) : [];
  const shift =
    o.told === false && first.length > 0
      ? shiftOf(first[0]!, reference, said, written, origin, ratio)
      : 0;
  const counted = new Set<string>();
  for (const [r, h] of pairs) {
    const { note } = reference[r]!;
    // A trill, a tremolo and a repeat sound more often than they are written.
    if (note === undefined || counted.has(note.id)) continue;
    counted.add(note.id);
    const w = written.get(said[h]!.heard);
    if (note === undefined || w === undefined || w.note.kind !== 'pitched') continue;
    const event = origin.get(note.id)!;
    if (straight) {
      const same = Math.abs(w.event.onset * ratio + shift - event.onset) < 20;
      tally.add('onset exact', same ? 1 : 0, 1, 1);
      tally.add(
        'length exact',
        Math.abs(w.event.duration * ratio - event.duration) < 20 ? 1 : 0,
        1,
        1,
      );
    }
    const pitch = midiOf(w.note.pitch) === midiOf(note.pitch);
    tally.add('pitch', pitch ? 1 : 0, 1, 1);
    if (note.harmonic === undefined) {
      tally.add('string', w.note.string === note.string ? 1 : 0, 1, 1);
    }
  }
  return { tally, widths, written: caught!.phrase, said: null };
}

function secondsPerTickOf(p: Phrase): number {
  return 60 / beatsAMinute(p) / beatTicks(p.bars[0]!.meter);
}

function shiftOf(
  { r, h }: { r: number; h: number },
  reference: readonly { readonly note: PitchedNote | undefined }[],
  said: readonly { readonly heard: HeardNote }[],
  written: ReadonlyMap<HeardNote, { readonly event: { readonly onset: number } }>,
  origin: ReadonlyMap<string, { readonly onset: number }>,
  ratio: number,
): number {
  const note = reference[r]!.note;
  const w = written.get(said[h]!.heard);
  if (note === undefined || w === undefined) return 0;
  return origin.get(note.id)!.onset - w.event.onset * ratio;
}

function countTechniques(
  tally: Tally,
  pairs: readonly {
    readonly note: PitchedNote | undefined;
    readonly begin: string;
    readonly heard: HeardNote | undefined;
  }[],
  extra: readonly HeardNote[],
  widths: number[],
): void {
  const add = (name: string, there: boolean, said: boolean) => {
    tally.add(name, there && said ? 1 : 0, there ? 1 : 0, said ? 1 : 0);
  };
  const SLURS = [
    ['hammer-on', 'hammered'],
    ['pull-off', 'pulled'],
    ['slide', 'slid'],
  ] as const;
  for (const { note, begin, heard } of pairs) {
    if (note === undefined) continue;
    const width = note.bend === undefined ? 0 : bendSemitones(note);
    // What is bent before it is struck and stays so cannot be heard.
    const bends = width > 0 && note.bend!.shape !== 'pre-bend';
    add('bend', bends, heard?.bend !== undefined);
    if (bends && heard?.bend !== undefined) widths.push(100 * (heard.bend.semitones - width));
    if (!bends) add('vibrato', note.vibrato !== undefined, heard?.vibrato !== undefined);
    for (const [name, word] of SLURS) add(name, begin === word, heard?.attack === name);
  }
  for (const n of extra) {
    add('bend', false, n.bend !== undefined);
    add('vibrato', false, n.vibrato !== undefined);
    for (const [name] of SLURS) add(name, false, n.attack === name);
  }
}
