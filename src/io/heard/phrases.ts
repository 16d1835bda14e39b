import { motionOfHeard } from '../../core/heard/motion';
import { proposeName } from '../../core/heard/naming';
import { type ProposedChord, proposeChords } from '../../core/heard/propose';
import type { HeardNote } from '../../core/heard/types';
import { layLane, storeLane } from '../../core/move/lane';
import { meterTicks } from '../../core/phrase/time';
import {
  type NoteId,
  PHRASE_VERSION,
  type Phrase,
  type PitchedNote,
  TICKS_PER_QUARTER,
  type Ticks,
} from '../../core/phrase/types';
import { notesOf } from '../../core/phrase/walk';
import { fail, ok, type Result } from '../../core/result';
import { formatPitch } from '../../core/theory/pitch';
import { spellAt } from '../../core/understand/spell';
import { checkStorable } from '../json/storable';
import { tupletsOf } from '../midi-in/quantise';
import type { BuiltEvent, BuiltGrace, BuiltNote } from '../musicxml/read/built';
import { ImportLog, type ImportNote } from '../musicxml/read/log';
import { mendPhrase } from '../musicxml/read/mend';
import { placeNotes, type Shell } from '../musicxml/read/place';
import { Speller } from '../musicxml/read/spelling';
import { type CrowdedOut, withoutCrowd } from './crowded';
import { cutLines } from './cut-lines';
import { bySureness, type DoubtfulNote, withDoubtful } from './doubtful';
import type { HeardEvent } from './lines';
import type { RhythmDoubt } from './other-rhythm';
import { stringCosts } from './strings';
import type { Take } from './take';

export interface PhraseNames {
  readonly newId: () => string;
  /** ISO 8601 in UTC. */
  readonly now: string;
  readonly title: string;
  readonly source?: string;
}

/** A phrase of a take, with the sound each of its notes was. */
export interface CaughtPhrase {
  readonly phrase: Phrase;
  /** Note ids of the phrase with what was heard: the player's own times and pitches. */
  readonly heard: ReadonlyMap<NoteId, HeardNote>;
  /** Seconds of the recording from which to which it sounds. */
  readonly from: number;
  readonly to: number;
  /** Seconds of the recording at which it begins as it is written, pickup and first rests included. */
  readonly begin: number;
  /** Chords over which it may have been played, where none were given; the likeliest first. */
  readonly chords: readonly ProposedChord[];
  readonly notes: readonly ImportNote[];
  /** Of which notes the rhythm is unsure; of strings struck together the first one is named. */
  readonly doubts: readonly NoteDoubt[];
}

export interface NoteDoubt extends RhythmDoubt {
  readonly note: NoteId;
}

/** What begins so late in its bar is a pickup, as a share of the bar. */
const PICKUP = 0.6;

/** A take as phrases, cut at rests and begun at bar lines, or as one. */
export function phrasesOf(
  take: Take,
  names: PhraseNames,
  cut: 'cut' | 'whole' = 'cut',
): Result<readonly CaughtPhrase[]> {
  const parts = cut === 'whole' ? [take.lines] : cutLines(take);
  const out: CaughtPhrase[] = [];
  for (const lines of parts) {
    const made = phraseOf(take, lines, names, cut === 'whole');
    if (!made.ok) return made;
    out.push(made.value);
  }
  return ok(namedIn(names.title, out));
}

/** The phrases of one recording under what they may be called, numbered where they are several. */
export function namedIn(title: string, all: readonly CaughtPhrase[]): readonly CaughtPhrase[] {
  return all.map((c, i) => {
    const name = proposeName(c.phrase, all.length === 1 ? title : `${title}, ${i + 1}`);
    return { ...c, phrase: { ...c.phrase, meta: { ...c.phrase.meta, ...name } } };
  });
}

type Lines = Take['lines'];

function phraseOf(
  take: Take,
  lines: Lines,
  names: PhraseNames,
  asOne: boolean,
): Result<CaughtPhrase> {
  const made = phraseOfLines(take, lines, names, asOne, []);
  if (made.ok) return made;
  // What cannot sound at once was not all played: the rest of it is not lost for that.
  const fewer = withoutCrowd(take, lines);
  return fewer.out.length === 0 || fewer.lines.length === 0
    ? made
    : phraseOfLines(take, fewer.lines, names, asOne, fewer.out);
}

function phraseOfLines(
  take: Take,
  lines: Lines,
  names: PhraseNames,
  asOne: boolean,
  crowdedOut: readonly CrowdedOut[],
): Result<CaughtPhrase> {
  const log = new ImportLog();
  const { begin, firstBar, pickup, bars, length } = frameOf(take, lines, asOne);
  const laid = laneOf(take, { pickup, bars, length }, firstBar);
  if (!laid.ok) return laid;
  const shell: Shell = {
    format: 'degreewise-phrase',
    version: PHRASE_VERSION,
    id: names.newId(),
    parent: null,
    meta: {
      title: names.title,
      ...(names.source === undefined ? {} : { source: names.source }),
      tags: [],
      created: names.now,
      modified: names.now,
    },
    instrument: take.instrument,
    key: take.key,
    tempo: take.tempo,
    feel: take.feel,
    pickup,
    bars,
    length,
    chords: laid.value,
    marks: [],
  };
  const heard = new Map<NoteId, HeardNote>();
  const build = new Builder(shell, take, begin, heard);
  const voices = voicesOf(take, lines, build, begin, length);
  const placedAll = placeNotes(shell, voices, log);
  if (!placedAll.ok) return placedAll;
  const whole = withDoubtful(placedAll.value, build.doubtful, ({ onset, note }) =>
    log.add('dropped', `${formatPitch(note.pitch)} was heard unsurely, and no hand has it there`, {
      onset,
    }),
  );
  for (const { onset, note } of crowdedOut) {
    // The first of all may be left out, and the phrase then begins behind it.
    const at = Math.max(0, onset - begin);
    const pitch = formatPitch(spellAt(whole, at, motionOfHeard(note, take.off).midi));
    log.add('dropped', `${pitch} was heard, but no string is free for it there`, { onset: at });
  }
  const mended = mendPhrase(whole, new Speller(shell.chords, shell.key), log);
  if (!mended.ok) return mended;
  const wrong = checkStorable(mended.value);
  if (wrong.length > 0) return fail(...wrong.map(({ pointer: _, ...p }) => p));
  const sounds = lines.flat().flatMap((e) => e.notes);
  const left = new Set(notesOf(mended.value).map(({ note }) => note.id));
  return ok({
    phrase: mended.value,
    heard,
    from: Math.min(...sounds.map((n) => n.onset)),
    to: Math.max(...sounds.map((n) => n.end)),
    begin: take.start + begin * take.secondsPerTick,
    chords: take.lane.length > 0 ? [] : proposedFor(take, sounds),
    notes: log.finish(mended.value),
    doubts: build.doubts.filter(({ note }) => left.has(note)),
  });
}

/** Where a phrase begins and ends, in bars and ticks of the take. */
interface Frame {
  readonly begin: Ticks;
  /** The bar of the take in which its first whole bar stands. */
  readonly firstBar: number;
  readonly pickup: Ticks;
  readonly bars: Phrase['bars'];
  readonly length: Ticks;
}

/** Whole bars around what was played, with a pickup where it begins late in one. */
function frameOf(take: Take, lines: Lines, whole: boolean): Frame {
  const bar = meterTicks(take.meter);
  const first = Math.min(...lines.map((l) => l[0]!.onset));
  const end = Math.max(...lines.map((l) => l.at(-1)!.end));
  const startBar = Math.floor(first / bar);
  const late = first - startBar * bar;
  const ahead = pickupOf(bar - late, bar / take.meter.beats);
  const isPickup = !whole && late >= PICKUP * bar && ahead < bar && end > (startBar + 1) * bar;
  const pickup = isPickup ? ahead : 0;
  const begin = whole ? 0 : isPickup ? (startBar + 1) * bar - ahead : startBar * bar;
  const count = Math.max(1, Math.ceil((end - begin - pickup) / bar));
  return {
    begin,
    firstBar: isPickup ? startBar + 1 : begin / bar,
    pickup,
    bars: Array.from({ length: count }, () => ({ meter: take.meter })),
    length: pickup + count * bar,
  };
}

/** Ticks of a pickup, which is counted in 128ths (T1): one that begins inside a tuplet begins with its beat. */
function pickupOf(ahead: Ticks, beat: Ticks): Ticks {
  return ahead % (TICKS_PER_QUARTER / 32) === 0 ? ahead : Math.ceil(ahead / beat) * beat;
}

/** Each line of the take as a voice, with the tuplets of the grid that it uses. */
function voicesOf(take: Take, lines: Lines, build: Builder, begin: Ticks, length: Ticks) {
  const tuplets = tupletsOf(take.grid, begin, begin + length).map((t) => ({
    ...t,
    onset: t.onset - begin,
  }));
  return lines.map((line, voice) => {
    const events = line.map((e) => build.event(e, voice));
    const used = tuplets.filter((t) =>
      events.some(
        ({ event: e }) => e.onset < t.onset + t.duration && e.onset + e.duration > t.onset,
      ),
    );
    return { events, tuplets: used };
  });
}

/** Chords that would go with what was heard. */
function proposedFor(take: Take, sounds: readonly HeardNote[]) {
  return proposeChords(
    sounds.map((n) => ({ midi: motionOfHeard(n, take.off).midi, seconds: n.end - n.onset })),
    take.key,
  );
}

/** The chords of a lane that goes round, from one of its bars on. */
function laneOf(
  take: Take,
  shell: Pick<Phrase, 'pickup' | 'bars' | 'length'>,
  firstBar: number,
): Result<Phrase['chords']> {
  const { lane } = take;
  if (lane.length === 0) return ok([]);
  const round = shell.bars.map((_, i) => lane[(firstBar + i) % lane.length]!);
  const laid = layLane(shell, round);
  return laid.ok ? ok(storeLane(laid.value)) : laid;
}

class Builder {
  #count = 0;
  /** What is left to be placed when all else is. */
  readonly doubtful: DoubtfulNote[] = [];
  readonly doubts: NoteDoubt[] = [];
  readonly #phrase: Phrase;

  constructor(
    shell: Shell,
    private readonly take: Take,
    private readonly begin: Ticks,
    private readonly heard: Map<NoteId, HeardNote>,
  ) {
    this.#phrase = { ...shell, voices: [{ events: [], tuplets: [] }] };
  }

  event(e: HeardEvent, voice: number): BuiltEvent {
    const onset = e.onset - this.begin;
    const muted = e.notes.every((n) => n.muted);
    const { sure, doubtful } = bySureness(e.notes);
    for (const n of doubtful) {
      this.doubtful.push({ voice, onset, note: this.#note(n, onset, e.rings && !muted) });
    }
    const notes = sure.map((n) => this.#placeable(n, onset, e.rings && !muted));
    const { doubt } = e;
    if (doubt !== undefined) this.doubts.push({ ...doubt, note: notes[0]!.note.id });
    return {
      event: {
        onset,
        duration: e.end - e.onset,
        ...(muted ? { palmMute: true as const } : {}),
        // What somebody has chosen of two is a guess no more.
        ...(doubt === undefined || doubt.taken ? {} : { guessed: true as const }),
      },
      notes,
      graces: e.graces.map((g) => [this.#grace(g, onset)]),
    };
  }

  #placeable(n: HeardNote, onset: Ticks, rings: boolean): BuiltNote {
    const note = this.#note(n, onset, rings);
    const costs = stringCosts(n, this.take.instrument);
    const told = costs === undefined ? {} : { stringCosts: costs };
    return { placed: false, note, deadPitch: null, guessed: false, ...told };
  }

  #note(n: HeardNote, onset: Ticks, rings: boolean): PitchedNote {
    this.#count += 1;
    const id = `n${this.#count}`;
    this.heard.set(id, n);
    const m = motionOfHeard(n, this.take.off);
    const { bend } = m;
    return {
      kind: 'pitched',
      id,
      string: 1,
      fret: 0,
      pitch: spellAt(this.#phrase, onset, m.midi),
      ...(n.attack === 'pluck' ? {} : { attack: n.attack }),
      ...(m.slideIn === undefined ? {} : { slideIn: m.slideIn }),
      ...(m.slideOut === undefined ? {} : { slideOut: m.slideOut }),
      ...(m.vibrato === undefined ? {} : { vibrato: m.vibrato }),
      ...(bend === undefined
        ? {}
        : {
            bend:
              bend.shape === 'curl'
                ? { shape: bend.shape, curve: bend.curve }
                : {
                    shape: bend.shape,
                    target: spellAt(this.#phrase, onset, m.midi + bend.semitones),
                    curve: bend.curve,
                  },
          }),
      ...(rings ? { letRing: true as const } : {}),
    };
  }

  #grace(n: HeardNote, onset: Ticks): BuiltGrace {
    const { midi } = motionOfHeard(n, this.take.off);
    return {
      placed: false,
      note: { pitch: spellAt(this.#phrase, onset, midi), string: 1, fret: 0 },
    };
  }
}
