import type { Heard, HeardNote } from '../../src/core/heard/types';
import { beatTicks } from '../../src/core/phrase/time';
import { type Phrase, type PitchedNote, TICKS_PER_QUARTER } from '../../src/core/phrase/types';
import { bendSemitones, notesOf } from '../../src/core/phrase/walk';
import { perform } from '../../src/core/sound/perform';
import type { Sound } from '../../src/core/sound/types';
import type { Listener } from '../../src/sound/capture/listen';
import { type RenderOptions, renderPhrase } from '../../src/sound/render';
import { type Way, type Written, writtenAgain } from './caught-written';
import { matchNotes } from './note-score';
import { Tally } from './tally';

export { Tally } from './tally';

/** A sound of a phrase beside the note it belongs to, as what is heard is compared with it. */
export interface Sounded {
  readonly at: number;
  readonly midi: number;
  /** Where a bend arrives. */
  readonly settled: number;
  readonly plain: number;
  readonly sound: Sound;
  /** Absent for graces. */
  readonly note: PitchedNote | undefined;
}

export interface HeardBack {
  readonly tally: Tally;
  /** Cents by which bends were heard wider or narrower. */
  readonly widths: readonly number[];
  readonly reference: readonly Sounded[];
  /** Numbers of what was played and of what was heard. */
  readonly pairs: readonly (readonly [number, number])[];
}

export interface PlayedBack extends Written {
  readonly widths: readonly number[];
}

export interface PlayBackOptions extends RenderOptions {
  /** Whether the tempo is told. */
  readonly told?: boolean;
  /** Changes the sound on its way: a room, noise. */
  readonly through?: (x: Float32Array) => Float32Array;
}

export const HEARD_RATE = 22_050;

/** Beats of the meter a minute. */
export function beatsAMinute(p: Phrase): number {
  const unit = { eighth: 0.5, quarter: 1, 'dotted-quarter': 1.5, half: 2 }[p.tempo.unit];
  const beat = beatTicks(p.bars[0]!.meter) / TICKS_PER_QUARTER;
  return (p.tempo.bpm * unit) / beat;
}

/** Plays a phrase as sound, hears it, writes it, and counts what came back. */
export function playBack(p: Phrase, listener: Listener, o: PlayBackOptions = {}): PlayedBack {
  const samples = renderPhrase(p, { rate: HEARD_RATE, tail: 0.6, ...o });
  const heard = listener.hear(o.through?.(samples) ?? samples, HEARD_RATE);
  const back = heardBack(p, heard, o);
  const way: Way = o.told === false ? {} : { bpm: beatsAMinute(p), start: 0 };
  const written = writtenAgain(p, heard, back, way);
  back.tally.join(written.tally);
  return { ...written, tally: back.tally, widths: back.widths };
}

/** What was heard of a phrase, beside what was played: notes and techniques. */
export function heardBack(p: Phrase, heard: Heard, o: PlayBackOptions = {}): HeardBack {
  const tally = new Tally();
  const notes = new Map(
    notesOf(p).flatMap(({ note }) => (note.kind === 'pitched' ? [[note.id, note] as const] : [])),
  );
  const sounds = perform(p, o).sounds.filter((s) => s.manner !== 'dead' && s.manner !== 'scrape');
  const reference = sounds.map(
    (s): Sounded => ({
      at: s.onset,
      midi: s.midi + s.curve[0]!.cents / 100,
      settled: s.midi + Math.max(...s.curve.map((c) => c.cents)) / 100,
      plain: s.midi,
      sound: s,
      note: s.noteId === null ? undefined : notes.get(s.noteId),
    }),
  );
  const said = heard.notes.map((n) => ({ at: n.onset, midi: n.start, settled: n.pitch }));
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
  const heardOf = new Map(pairs.map(([r, h]) => [r, heard.notes[h]!]));
  countTechniques(
    tally,
    reference.map((r, i) => {
      const again = reference.findIndex((q) => q.note === r.note) < i;
      return { note: again ? undefined : r.note, begin: r.sound.begin, heard: heardOf.get(i) };
    }),
    heard.notes.filter((_, j) => !pairs.some(([, k]) => k === j)),
    widths,
  );
  return { tally, widths, reference, pairs };
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
    // A tap is a hammer of the other hand and may be heard as one.
    if (begin === 'tapped') continue;
    for (const [name, word] of SLURS) add(name, begin === word, heard?.attack === name);
    add('slide-in', note.slideIn !== undefined, heard?.slideIn !== undefined);
  }
  for (const n of extra) {
    add('bend', false, n.bend !== undefined);
    add('vibrato', false, n.vibrato !== undefined);
    for (const [name] of SLURS) add(name, false, n.attack === name);
  }
}
