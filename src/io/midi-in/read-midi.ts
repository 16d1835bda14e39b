import {
  PHRASE_VERSION,
  type Phrase,
  TICKS_PER_QUARTER,
  type Ticks,
  type Tuplet,
} from '../../core/phrase/types';
import { fail, ok, type Result } from '../../core/result';
import { type Key, signatureFifths } from '../../core/theory/key';
import { midiOf } from '../../core/theory/pitch';
import { checkStorable } from '../json/storable';
import { ImportLog, type ImportNote } from '../musicxml/read/log';
import { mendPhrase } from '../musicxml/read/mend';
import { placeNotes, type Shell } from '../musicxml/read/place';
import { Speller } from '../musicxml/read/spelling';
import { suitedInstrument } from '../musicxml/read/suit';
import { barsOf } from './bars';
import { chordsOf } from './chords';
import { withinStrings } from './crowded';
import { buildVoices } from './events';
import { guessKey, keyOfSignature } from './key-found';
import { ownPhrase } from './own';
import { type PartNote, partsOf, type SongPart } from './parts';
import { cutBeats, gridOf, type Loose, placeAfter, placed, tupletsOf } from './quantise';
import { DRUMS, readSong, type Song } from './song';
import { together } from './strums';
import { evened, findSwing } from './swing-found';
import { microsOf, tempoOf } from './tempo';
import { inOctave, onStaff, refuseOutside } from './within';
import { MOST_SIGNS, wordsOf } from './words';

export interface ReadMidiOptions {
  readonly newId: () => string;
  /** ISO 8601 in UTC. */
  readonly now: string;
  /** What a file without a name is called. */
  readonly title: string;
  /** The part to read, from 1; the first with pitches when absent. */
  readonly part?: number;
  /** Of a part for a keyboard: 1 for what lies from middle C up, 2 for what is below; all of it when absent. */
  readonly staff?: number;
  /** Octaves by which it is read higher, negative for lower. */
  readonly octave?: number;
}

export interface ImportedMidi {
  readonly phrase: Phrase;
  readonly notes: readonly ImportNote[];
}

const MOST_NOTES = 100_000;

/**
 * Reads one part of a Standard MIDI File as a phrase: rhythm put on the grid, swung eighths made even with
 * their ratio kept, bends and slides read back where a channel is a string's, strings and frets by the
 * fingering engine, spelling by the chords. What the file does not say, and what is not just as it was
 * there, is listed. A file of this program that nobody changed gives the phrase it was written from.
 */
export function readMidi(bytes: Uint8Array, options: ReadMidiOptions): Result<ImportedMidi> {
  const song = readSong(bytes);
  if (!song.ok) return song;
  const log = new ImportLog();
  const chosen = choosePart(song.value, options.part ?? null, log);
  if (!chosen.ok) return chosen;
  const part = onStaff(chosen.value, options.staff ?? null, log);
  if (!part.ok) return part;
  const whole = options.octave === undefined && options.staff === undefined;
  const own = whole ? ownPhrase(song.value, part.value, log) : null;
  const outside = own === null ? refuseOutside(song.value, part.value, options) : null;
  if (outside !== null) return fail(outside);
  const made =
    own === null
      ? makePhrase(song.value, part.value, options, log)
      : ok(withIdentity(own, options));
  if (!made.ok) return made;
  const wrong = checkStorable(made.value);
  if (wrong.length > 0) return fail(...wrong.map(({ pointer: _, ...p }) => p));
  return ok({ phrase: made.value, notes: log.finish(made.value) });
}

function withIdentity(p: Phrase, { newId, now }: ReadMidiOptions): Phrase {
  return { ...p, id: newId(), meta: { ...p.meta, created: now, modified: now } };
}

function choosePart(song: Song, wanted: number | null, log: ImportLog): Result<SongPart> {
  const parts = partsOf(song);
  const part = parts[(wanted ?? 1) - 1];
  if (part === undefined) {
    return wanted === null || parts.length === 0
      ? fail({ message: 'the MIDI file has no notes with pitches', fix: 'Choose another file.' })
      : fail({
          message: `there is no part ${wanted}, the file has ${parts.length}`,
          fix: `Choose a part from 1 to ${parts.length}.`,
        });
  }
  if (part.notes.length > MOST_NOTES) {
    return fail({
      message: `the part has ${part.notes.length} notes, more than ${MOST_NOTES}`,
      fix: 'Export only the bars you need.',
    });
  }
  const others = parts.flatMap((p, i) => (p === part ? [] : [`${i + 1} (${p.name})`]));
  if (others.length > 0)
    log.add('dropped', `other parts are not read: ${others.slice(0, 12).join(', ')}`);
  if (song.tracks.some((t) => t.withoutLength > 0)) {
    const count = song.tracks.reduce((sum, t) => sum + t.withoutLength, 0);
    log.add('dropped', `notes that end where they begin are left out, ${count} in the file`);
  }
  if (song.tracks.some((t) => t.unended > 0)) {
    log.add('mended', 'notes that nothing ends are held to the end of their track');
  }
  if (song.tracks.some((t) => t.notes.some((n) => n.channel === DRUMS))) {
    log.add('dropped', 'the drums are not read');
  }
  return ok(part);
}

/** Ticks within which a program puts a moment where it means it: it rounds to its own ticks. */
const ROUNDED = 1.1;
/** More onsets than this share lie on the grid where a program wrote them; swung ones and strums may not. */
const BY_PROGRAM = 0.7;
/** What a hand that plays in may be off, in ticks: 25 thousandths of a quarter. */
const PLAYED = TICKS_PER_QUARTER / 40;

function makePhrase(
  song: Song,
  part: SongPart,
  o: ReadMidiOptions,
  log: ImportLog,
): Result<Phrase> {
  const seconds = microsOf(song) / 1e6 / TICKS_PER_QUARTER;
  const sent = inOctave(part, o.octave ?? 0);
  const exact = Math.max(2, ROUNDED * song.tick);
  const byProgram = share(sent, (n) => isOnGrid(n.at, exact)) > BY_PROGRAM;
  const notes = together(sent, seconds, (at) => byProgram && isOnGrid(at, exact, WRITTEN));
  const onsets = notes.map((n) => n.at).sort((a, b) => a - b);
  const sigma = byProgram ? exact : PLAYED;
  const swing = findSwing(onsets, sigma);
  const even = (at: number) => (swing === null ? at : evened(at, swing, sigma));
  const last = Math.max(...notes.map((n) => n.end));
  // Our own files end with the phrase, whatever rings on.
  const conducted = part.tuned ? (song.tracks[0]?.end ?? 0) : 0;
  const within = conducted > Math.max(...onsets);
  const bars = barsOf(song, within ? conducted : last - sigma, within, log);
  if (!bars.ok) return bars;
  const { pickup, length, beats } = bars.value;
  const moments = notes.flatMap((n): Loose[] => [
    { at: even(n.at), weight: 1 },
    { at: even(n.end), weight: byProgram ? 0.3 : 0.05 },
  ]);
  const grid = gridOf(cutBeats(beats, length), moments, sigma);
  if (swing !== null) {
    log.add(
      'assumed',
      `${swing.feel.unit}s swing ${swing.feel.first} to ${swing.feel.second}: they are written even, with that feel`,
    );
  }
  if (!byProgram) log.add('approximated', 'onsets and lengths are put on the nearest note values');
  const instrument = part.tuned ? withFrets(part.instrument, notes) : suited(part, notes, log);
  const chords = chordsOf(song, length, log).slice(0, MOST_SIGNS);
  const said = keyOfSignature(song);
  const key: Key = said ?? guessKey(notes, chords);
  if (said === null) log.add('assumed', 'the file names no key; it is guessed from the notes');
  if (song.keys.some((k) => k.at > 0 && k.fifths !== signatureFifths(key))) {
    log.add('dropped', 'the key changes; a phrase has one, the first');
  }
  const { tempo, changes } = tempoOf(song, bars.value.bars[0]?.meter);
  if (changes) log.add('dropped', 'the tempo changes; a phrase has one, the first');
  const shell: Shell = {
    format: 'degreewise-phrase',
    version: PHRASE_VERSION,
    id: o.newId(),
    parent: null,
    meta: {
      title: song.title === '' ? o.title : song.title,
      tags: [],
      created: o.now,
      modified: o.now,
    },
    instrument,
    key,
    tempo,
    feel: swing === null ? { kind: 'straight' } : swing.feel,
    pickup,
    bars: bars.value.bars,
    length,
    chords,
    marks: wordsOf(song, length),
  };
  const place = (at: number): Ticks => Math.min(length, Math.max(0, placed(grid, even(at))));
  const after = (at: Ticks): Ticks => placeAfter(grid, at);
  const voices = buildVoices(notes, { song, shell, place, after, byProgram, log });
  const used = tupletsOf(grid, 0, length);
  const whole = withinStrings(voices, instrument, log).map((events) => ({
    events,
    tuplets: tupletsIn(used, events),
  }));
  const laid = placeNotes(shell, whole, log);
  return laid.ok ? mendPhrase(laid.value, new Speller(chords, key), log) : laid;
}

/** The tuplets in which any of the events sounds; both lie in time, and none of either overlap. */
function tupletsIn(
  tuplets: readonly Tuplet[],
  events: readonly { readonly event: { readonly onset: Ticks; readonly duration: Ticks } }[],
): readonly Tuplet[] {
  let i = 0;
  return tuplets.filter((t) => {
    while (i < events.length && events[i]!.event.onset + events[i]!.event.duration <= t.onset) i++;
    return i < events.length && events[i]!.event.onset < t.onset + t.duration;
  });
}

/** 128ths, and those of triplets, quintuplets, septuplets and nonuplets. */
const FINEST = [315, 210, 252, 180, 280];
/** What a strum is not taken for: 32nds and those of tuplets. */
const WRITTEN = [1260, 840, 1008, 720, 1120];

/** A program writes multiples of 128ths, or of those of triplets, quintuplets, septuplets and nonuplets. */
function isOnGrid(at: number, exact: number, units: readonly number[] = FINEST): boolean {
  return units.some((unit) => Math.abs(at - Math.round(at / unit) * unit) <= exact / 2);
}

function share<T>(list: readonly T[], test: (x: T) => boolean): number {
  return list.filter(test).length / Math.max(1, list.length);
}

function suited(part: SongPart, notes: readonly PartNote[], log: ImportLog) {
  log.add('assumed', `the file names no tuning: ${part.instrument.name} in standard tuning`);
  const midis = notes.map((n) => n.midi);
  const i = suitedInstrument(part.instrument, midis, log);
  const needed = Math.max(...midis) - Math.max(...i.tuning.map(midiOf));
  if (needed <= i.frets || needed > MOST_FRETS) return i;
  log.add('assumed', `the notes need ${needed} frets, so the instrument has them`);
  return { ...i, frets: needed };
}

/** More than these no neck has: what is higher on its string is a harmonic. */
const MOST_FRETS = 24;

/** As many frets as the notes need on their strings. */
function withFrets(i: SongPart['instrument'], notes: readonly PartNote[]) {
  const needed = notes.map((n) => {
    const open = n.string === null ? undefined : i.tuning[n.string - 1];
    return open === undefined ? 0 : n.midi - midiOf(open);
  });
  return { ...i, frets: Math.min(MOST_FRETS, Math.max(i.frets, ...needed)) };
}
