import { STANDARD_GUITAR } from '../../core/phrase/instrument';
import type { Instrument } from '../../core/phrase/types';
import { midiOf, type Pitch, parsePitch } from '../../core/theory/pitch';
import { DRUMS, type Song, type SongNote, type SongTrack } from './song';

/** Notes that one player plays. */
export interface SongPart {
  readonly name: string;
  readonly instrument: Instrument;
  readonly notes: readonly PartNote[];
  /** Whether the file says which string each note is on: a channel a string. */
  readonly stringed: boolean;
  /** Whether the tuning stands in the file. */
  readonly tuned: boolean;
}

export interface PartNote extends SongNote {
  /** 1 = first string; null where the file does not say. */
  readonly string: number | null;
  /** Nothing else sounds on its channel meanwhile, so that a bend is this note's alone. */
  readonly alone: boolean;
}

/** Every part with pitches, in the order of the tracks; the strings of one instrument are one part. */
export function partsOf(song: Song): readonly SongPart[] {
  const parts: SongPart[] = [];
  const strings = song.tracks.filter((t) => stringOf(t) !== null);
  let taken = false;
  for (const track of song.tracks) {
    if (stringOf(track) !== null) {
      if (!taken) parts.push(fromStringTracks(strings));
      taken = true;
    } else parts.push(...fromTrack(track));
  }
  return parts.filter((p) => p.notes.length > 0);
}

const STRING_TRACK = /^String (\d{1,2})$/u;

function stringOf(t: SongTrack): number | null {
  const found = STRING_TRACK.exec(t.name);
  const n = found === null ? 0 : Number(found[1]);
  return n >= 1 && n <= MOST_STRINGS ? n : null;
}

const MOST_STRINGS = 12;

/** `Guitar: E4, capo 2` */
const OPEN_STRING = /^(.*): ([A-G](?:#|b)*-?\d)(?:, capo (\d{1,2}))?$/u;

/** Our own files, and others that name their tracks so. */
function fromStringTracks(tracks: readonly SongTrack[]): SongPart {
  const said = new Map<number, { name: string; open: Pitch; capo: number }>();
  for (const t of tracks) {
    const m = OPEN_STRING.exec(t.instrument);
    const open = m === null ? null : parsePitch(m[2]!);
    if (m !== null && open?.ok) {
      said.set(stringOf(t)!, { name: m[1]!, open: open.value, capo: Number(m[3] ?? 0) });
    }
  }
  const count = Math.max(...tracks.map((t) => stringOf(t)!));
  const program = [...tracks.flatMap((t) => [...t.programs.values()])][0];
  const assumed = instrumentOf(program);
  const opens = Array.from({ length: count }, (_, i) => said.get(i + 1));
  const tuned = opens.every((o) => o !== undefined);
  const instrument: Instrument = tuned
    ? {
        ...assumed,
        name: opens[0]!.name,
        tuning: opens.map((o) => o!.open),
        capo: opens[0]!.capo,
        frets: Math.max(assumed.frets, opens[0]!.capo + 1),
        ...clefOf(opens.map((o) => o!.open)),
      }
    : assumed;
  const notes = tracks.flatMap((t) =>
    aloneIn(t.notes).map((n): PartNote => ({ ...n, string: stringOf(t) })),
  );
  return { name: 'strings', instrument, notes: notes.sort(byTime), stringed: true, tuned };
}

/** How the staff of an instrument is written, by its lowest string (P3): as the program writes one. */
function clefOf(tuning: readonly Pitch[]): Pick<Instrument, 'clef' | 'scaleLength'> {
  const low = Math.min(...tuning.map(midiOf));
  if (low < 35 && tuning.length <= 6) return { clef: 'bass-8', scaleLength: 864 };
  if (low >= 55 && tuning.length <= 4) return { clef: 'treble', scaleLength: 350 };
  return { clef: 'treble-8', scaleLength: STANDARD_GUITAR.scaleLength };
}

/** A track by itself: a channel a string where that is what its channels amount to, else a part a channel. */
function fromTrack(track: SongTrack): readonly SongPart[] {
  const byChannel = new Map<number, SongNote[]>();
  for (const n of track.notes) {
    if (n.channel === DRUMS) continue;
    const own = byChannel.get(n.channel);
    if (own === undefined) byChannel.set(n.channel, [n]);
    else own.push(n);
  }
  const channels = [...byChannel].sort(([a], [b]) => a - b);
  const lists = channels.map(([channel, notes]) => ({ channel, notes: aloneIn(notes) }));
  const first = firstStringChannel(lists);
  const name = track.name === '' ? 'a track without a name' : track.name;
  if (first !== null) {
    const notes = lists.flatMap(({ channel, notes: own }) =>
      own.map((n): PartNote => ({ ...n, string: channel - first + 1 })),
    );
    const instrument = instrumentOf(track.programs.get(first));
    return [{ name, instrument, notes: notes.sort(byTime), stringed: true, tuned: false }];
  }
  return lists.map(({ channel, notes }) => ({
    name,
    instrument: instrumentOf(track.programs.get(channel)),
    notes: notes.map((n): PartNote => ({ ...n, string: null })),
    stringed: false,
    tuned: false,
  }));
}

function byTime(a: SongNote, b: SongNote): number {
  return a.at - b.at || a.midi - b.midi;
}

/** Notes of one channel, each with whether it is alone there. */
function aloneIn(notes: readonly SongNote[]): readonly Omit<PartNote, 'string'>[] {
  const sorted = [...notes].sort(byTime);
  let until = Number.NEGATIVE_INFINITY;
  return sorted.map((n, i) => {
    const next = sorted[i + 1];
    const alone = until <= n.at && (next === undefined || next.at >= n.end);
    until = Math.max(until, n.end);
    return { ...n, alone };
  });
}

/**
 * The channel of the first string, where a track has a channel a string as guitars with MIDI send it
 * (common practice: neighbouring channels, one note at a time, the first string first); null elsewhere.
 */
function firstStringChannel(
  lists: readonly {
    readonly channel: number;
    readonly notes: readonly { readonly midi: number; readonly alone: boolean }[];
  }[],
): number | null {
  if (lists.length < 2 || lists.length > 6) return null;
  if (!lists.every((l) => l.notes.every((n) => n.alone))) return null;
  const lowest = lists[0]!.channel;
  const highest = lists.at(-1)!.channel;
  for (let first = Math.max(0, highest - 5); first <= lowest; first++) {
    const fits = lists.every(({ channel, notes }) => {
      const open = midiOf(STANDARD_GUITAR.tuning[channel - first]!);
      return notes.every((n) => n.midi >= open && n.midi <= open + MOST_FRETS);
    });
    if (fits) return first;
  }
  return null;
}

const MOST_FRETS = 24;

const BASS: Instrument = {
  name: 'Bass guitar',
  tuning: [
    { letter: 'G', alter: 0, octave: 2 },
    { letter: 'D', alter: 0, octave: 2 },
    { letter: 'A', alter: 0, octave: 1 },
    { letter: 'E', alter: 0, octave: 1 },
  ],
  frets: 22,
  scaleLength: 864,
  capo: 0,
  clef: 'bass-8',
};

/** By the General MIDI program: basses are 33 to 40 (from 1), acoustic guitars 25 and 26. */
function instrumentOf(program: number | undefined): Instrument {
  if (program !== undefined && program >= 32 && program <= 39) return BASS;
  const name = program === 24 ? 'Nylon guitar' : program === 25 ? 'Acoustic guitar' : 'Guitar';
  return { ...STANDARD_GUITAR, name };
}
