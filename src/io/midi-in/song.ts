/// <reference path="./midi-file.d.ts" />

import { type MidiEvent, parseMidi } from 'midi-file';
import { TICKS_PER_QUARTER } from '../../core/phrase/types';
import { fail, ok, type Result } from '../../core/result';
import { chunksOf } from './chunks';

/** The tenth channel has drums (General MIDI System Level 1). */
export const DRUMS = 9;

/** Ticks of the phrase (T1), from the beginning of the file; need not be whole. */
export type SongTicks = number;

/** A change of the pitch of a channel while a note sounds. */
export interface BendAt {
  readonly at: SongTicks;
  readonly cents: number;
}

export interface SongNote {
  readonly at: SongTicks;
  readonly end: SongTicks;
  readonly midi: number;
  readonly velocity: number;
  /** From 0. */
  readonly channel: number;
  /** The first is in force at the beginning. */
  readonly bends: readonly BendAt[];
}

export interface SongTrack {
  readonly name: string;
  /** What the file calls its instrument. */
  readonly instrument: string;
  readonly notes: readonly SongNote[];
  /** General MIDI program of a channel, from 0. */
  readonly programs: ReadonlyMap<number, number>;
  readonly end: SongTicks;
  /** Notes that were left out, since they end where they begin; drums do not count. */
  readonly withoutLength: number;
  /** Notes that nothing ends, so that they last as long as the track; drums do not count. */
  readonly unended: number;
}

export interface TextAt {
  readonly at: SongTicks;
  readonly text: string;
}

/** What a Standard MIDI File says, free of bytes. */
export interface Song {
  readonly tracks: readonly SongTrack[];
  readonly title: string;
  /** Microseconds a quarter. */
  readonly tempos: readonly { readonly at: SongTicks; readonly micros: number }[];
  readonly meters: readonly {
    readonly at: SongTicks;
    readonly beats: number;
    readonly beatType: number;
  }[];
  readonly keys: readonly {
    readonly at: SongTicks;
    readonly fifths: number;
    readonly minor: boolean;
  }[];
  readonly markers: readonly TextAt[];
  readonly texts: readonly TextAt[];
  readonly lyrics: readonly TextAt[];
  /** Contents of sequencer-specific events of the first track: what a program says to itself. */
  readonly own: readonly Iterable<number>[];
  /** Phrase ticks of one tick of the file: how finely it can say anything. */
  readonly tick: number;
}

/** More notes than a phrase can hold are not looked at. */
const MOST_NOTES = 200_000;

/**
 * Reads a Standard MIDI File (Standard MIDI Files 1.0) with midi-file, chunk by chunk, so that what is
 * wrong is told with its track and byte.
 */
export function readSong(bytes: Uint8Array): Result<Song> {
  const chunks = chunksOf(bytes);
  if (!chunks.ok) return chunks;
  const { division, tracks: raw } = chunks.value;
  const tick = TICKS_PER_QUARTER / division;
  const song = { tempos: [], meters: [], keys: [], markers: [], texts: [], lyrics: [] } as Writable;
  const tracks: SongTrack[] = [];
  let own: readonly Iterable<number>[] = [];
  let notes = 0;
  for (const [i, chunk] of raw.entries()) {
    const events = eventsOf(chunk.file);
    if (events === null) {
      return fail({
        message: `track ${i + 1}, which begins at byte ${chunk.at}, holds what is no MIDI event`,
        fix: 'Save the file again from the program that made it.',
      });
    }
    if (i === 0) own = toItself(events);
    const track = new TrackReader(tick, song);
    for (const e of events) track.take(e);
    tracks.push(track.finish());
    notes += tracks.at(-1)!.notes.length;
    if (notes > MOST_NOTES) {
      return fail({
        message: `the file has more than ${MOST_NOTES} notes`,
        fix: 'Export only the bars you need.',
      });
    }
  }
  const byTime = (a: { at: number }, b: { at: number }) => a.at - b.at;
  for (const list of Object.values(song)) list.sort(byTime);
  return ok({ ...song, own, tracks, title: tracks[0]?.name ?? '', tick });
}

/**
 * Bytes that are read onward alone. A length of more than the four bytes that the standard allows turns
 * negative in the parser, which would go back and read the same events for ever.
 */
class Onward extends Uint8Array {
  override slice(start = 0, end = this.length): Uint8Array<ArrayBuffer> {
    if (end < start) throw new RangeError('a length below 0');
    return super.slice(start, end);
  }
}

/** The events of a file with one track; null where it cannot be read. */
function eventsOf(file: Uint8Array): readonly MidiEvent[] | null {
  try {
    const events = parseMidi(new Onward(file)).tracks[0] ?? [];
    return events.every(isSound) ? events : null;
  } catch {
    // The reader throws plain text without a place.
    return null;
  }
}

function toItself(events: readonly MidiEvent[]): readonly Iterable<number>[] {
  return events.flatMap((e) =>
    e.type === 'sequencerSpecific' && e.data !== undefined ? [e.data] : [],
  );
}

/** A file that ends in the middle of an event gives numbers that are none. */
function isSound(e: MidiEvent): boolean {
  const whole = (n: number | undefined, most: number) =>
    n === undefined || (Number.isInteger(n) && n >= 0 && n <= most);
  return (
    Number.isInteger(e.deltaTime) &&
    e.deltaTime >= 0 &&
    whole(e.noteNumber, 127) &&
    whole(e.velocity, 127) &&
    whole(e.controllerType, 127) &&
    (e.type === 'pitchBend' ? Number.isInteger(e.value) : whole(e.value, 127)) &&
    (e.type !== 'noteOn' || (e.noteNumber !== undefined && e.velocity !== undefined))
  );
}

interface Writable {
  readonly tempos: { at: number; micros: number }[];
  readonly meters: { at: number; beats: number; beatType: number }[];
  readonly keys: { at: number; fifths: number; minor: boolean }[];
  readonly markers: TextAt[];
  readonly texts: TextAt[];
  readonly lyrics: TextAt[];
}

interface OpenNote {
  readonly at: number;
  readonly midi: number;
  readonly velocity: number;
  readonly bends: BendAt[];
}

/** What a channel was told. */
interface Channel {
  readonly rpn: { msb: number; lsb: number };
  /** Semitones of the whole bend; 2 where nothing was said (MIDI 1.0). */
  range: number;
  cents: number;
  value: number;
  readonly open: OpenNote[];
}

class TrackReader {
  private at = 0;
  private name = '';
  private instrument = '';
  private readonly notes: SongNote[] = [];
  private readonly programs = new Map<number, number>();
  private readonly channels = new Map<number, Channel>();
  private withoutLength = 0;

  constructor(
    private readonly tick: number,
    private readonly song: Writable,
  ) {}

  take(e: MidiEvent): void {
    this.at += e.deltaTime * this.tick;
    const { at, song } = this;
    switch (e.type) {
      case 'noteOn':
        this.begin(e.channel ?? 0, e.noteNumber!, e.velocity!);
        return;
      case 'noteOff':
        this.end(e.channel ?? 0, e.noteNumber ?? -1);
        return;
      case 'pitchBend':
        this.bend(e.channel ?? 0, e.value ?? 0);
        return;
      case 'controller':
        this.control(e.channel ?? 0, e.controllerType ?? -1, e.value ?? 0);
        return;
      case 'programChange':
        if (!this.programs.has(e.channel ?? 0))
          this.programs.set(e.channel ?? 0, e.programNumber ?? 0);
        return;
      case 'trackName':
        if (this.name === '') this.name = textOf(e.text);
        return;
      case 'instrumentName':
        if (this.instrument === '') this.instrument = textOf(e.text);
        return;
      case 'setTempo':
        if (e.microsecondsPerBeat! > 0) song.tempos.push({ at, micros: e.microsecondsPerBeat! });
        return;
      case 'timeSignature':
        song.meters.push({ at, beats: e.numerator ?? 4, beatType: e.denominator ?? 4 });
        return;
      case 'keySignature':
        song.keys.push({ at, fifths: signed(e.key ?? 0), minor: e.scale === 1 });
        return;
      case 'marker':
        song.markers.push({ at, text: textOf(e.text) });
        return;
      case 'text':
        song.texts.push({ at, text: textOf(e.text) });
        return;
      case 'lyrics':
        song.lyrics.push({ at, text: textOf(e.text) });
        return;
    }
  }

  finish(): SongTrack {
    const unended = [...this.channels].reduce(
      (sum, [n, c]) => sum + (n === DRUMS ? 0 : c.open.length),
      0,
    );
    for (const [channel, c] of this.channels) {
      for (const n of [...c.open]) this.close(channel, c, n);
    }
    const notes = this.notes.sort((a, b) => a.at - b.at || a.midi - b.midi);
    return {
      name: this.name,
      instrument: this.instrument,
      notes,
      programs: this.programs,
      end: this.at,
      withoutLength: this.withoutLength,
      unended,
    };
  }

  private channel(n: number): Channel {
    const known = this.channels.get(n);
    if (known !== undefined) return known;
    const made: Channel = { rpn: { msb: 127, lsb: 127 }, range: 2, cents: 0, value: 0, open: [] };
    this.channels.set(n, made);
    return made;
  }

  private begin(n: number, midi: number, velocity: number): void {
    const c = this.channel(n);
    this.end(n, midi);
    c.open.push({ at: this.at, midi, velocity, bends: [{ at: this.at, cents: c.cents }] });
  }

  private end(n: number, midi: number): void {
    const c = this.channel(n);
    const note = c.open.find((o) => o.midi === midi);
    if (note !== undefined) this.close(n, c, note);
  }

  private close(n: number, c: Channel, note: OpenNote): void {
    c.open.splice(c.open.indexOf(note), 1);
    const { at, midi, velocity, bends } = note;
    if (this.at > at) this.notes.push({ at, end: this.at, midi, velocity, channel: n, bends });
    else if (n !== DRUMS) this.withoutLength++;
  }

  private bend(n: number, value: number): void {
    const c = this.channel(n);
    c.value = value;
    c.cents = (value / 8192) * c.range * 100;
    for (const o of c.open) {
      const last = o.bends.at(-1);
      if (last !== undefined && last.at === this.at) o.bends.pop();
      o.bends.push({ at: this.at, cents: c.cents });
    }
  }

  private control(n: number, number: number, value: number): void {
    const c = this.channel(n);
    if (number === 101) c.rpn.msb = value;
    else if (number === 100) c.rpn.lsb = value;
    // A non-registered number makes data entry mean something else.
    else if (number === 98 || number === 99) c.rpn.msb = c.rpn.lsb = 127;
    else if (c.rpn.msb === 0 && c.rpn.lsb === 0) {
      if (number === 6) c.range = value;
      else if (number === 38) c.range = Math.floor(c.range) + value / 100;
      else return;
      this.bend(n, c.value);
    }
  }
}

function signed(n: number): number {
  return n > 127 ? n - 256 : n;
}

/** UTF-8 where it is, else a character a byte; without what cannot be seen. */
function textOf(text: string | undefined): string {
  if (text === undefined) return '';
  const bytes = Uint8Array.from(text, (c) => c.charCodeAt(0));
  let read = text;
  try {
    read = new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    // Latin 1, as it stands.
  }
  return read
    .replace(/\p{Cc}+/gu, ' ')
    .trim()
    .slice(0, MOST_TEXT);
}

/** Characters of a text that are kept. */
const MOST_TEXT = 200;
