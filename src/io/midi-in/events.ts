import { fretFor, openMidi } from '../../core/phrase/instrument';
import {
  type Phrase,
  type PhraseEvent,
  type PitchedNote,
  TICKS_PER_QUARTER,
  type Ticks,
} from '../../core/phrase/types';
import { secondsPerTick } from '../../core/sound/perform';
import { GRID } from '../../core/validity/rhythm';
import type { BuiltEvent, BuiltNote } from '../musicxml/read/built';
import type { ImportLog } from '../musicxml/read/log';
import type { Shell } from '../musicxml/read/place';
import { type Motion, motionOf } from './motions';
import type { PartNote } from './parts';
import type { Song } from './song';
import { Namer } from './spelled';
import type { StrummedNote } from './strums';

export interface EventsContext {
  readonly song: Song;
  readonly shell: Shell;
  /** Where a moment of the file is written. */
  readonly place: (at: number) => Ticks;
  /** The first place past another where something can be written. */
  readonly after: (place: Ticks) => Ticks;
  /** Whether a program wrote the file, so that its lengths are meant. */
  readonly byProgram: boolean;
  readonly log: ImportLog;
}

/** A note on the grid. */
interface Placed {
  readonly note: StrummedNote;
  readonly onset: Ticks;
  readonly end: Ticks;
  readonly motion: Motion;
  /** What comes before it on its string slides to it. */
  readonly slidTo: boolean;
  /** Among what is struck at the moment, from the lowest string. */
  readonly rank: number;
}

/** Notes as events of one voice or two. */
export function buildVoices(
  notes: readonly StrummedNote[],
  c: EventsContext,
): readonly (readonly BuiltEvent[])[] {
  const placed = settled(notes, c);
  const namer = new Namer(c.song, phraseOf(c.shell));
  const lines = linesOf(placed, c.byProgram ? GRID : LATE, c.log);
  let count = 0;
  const voices = lines.map((line) =>
    line.map((g): BuiltEvent => {
      const built = g.notes.map((p): BuiltNote => {
        count += 1;
        return builtNote(p, `n${count}`, g.rings, c, namer);
      });
      return { event: eventOf(g, c), notes: built, graces: [] };
    }),
  );
  if (namer.guessed > 0) {
    const many = namer.guessed === 1 ? 'note is' : 'notes are';
    c.log.add(
      'assumed',
      `the spelling of ${namer.guessed} ${many} guessed from the chords and the key`,
    );
  }
  return voices.length === 0 ? [[]] : voices;
}

function phraseOf(shell: Shell): Phrase {
  return { ...shell, voices: [{ events: [], tuplets: [] }] };
}

/** Two sounds of a string this near are one after the other without a gap, in ticks. */
const JOINED = 30;

function settled(notes: readonly StrummedNote[], c: EventsContext): readonly Placed[] {
  const seconds = secondsPerTick(c.shell.tempo);
  const nextOnString = new Map<PartNote, PartNote>();
  const last = new Map<number, PartNote>();
  for (const n of notes) {
    const line = n.string ?? -1 - n.channel;
    const before = last.get(line);
    if (before !== undefined) nextOnString.set(before, n);
    last.set(line, n);
  }
  const slidTo = new Set<PartNote>();
  const all = notes.map((note) => {
    const onset = c.place(note.at);
    const next = nextOnString.get(note);
    const joins = next !== undefined && Math.abs(next.at - note.end) <= JOINED;
    const motion = note.alone
      ? motionOf(
          note.bends,
          note.at,
          note.end,
          (note.end - note.at) * seconds,
          joins ? next.midi - note.midi : null,
        )
      : unheard(note, c, onset);
    if (motion.slidesBy !== undefined && next !== undefined) slidTo.add(next);
    if (motion.unread)
      c.log.add('dropped', 'a course of the pitch is no bend, slide or vibrato that is known', {
        onset,
      });
    return { note, onset, end: c.place(note.end), motion };
  });
  const moments = new Map<Ticks, PartNote[]>();
  for (const p of all) moments.set(p.onset, [...(moments.get(p.onset) ?? []), p.note]);
  const onsets = [...moments.keys()].sort((a, b) => a - b);
  const following = (at: Ticks) => onsets[upper(onsets, at)];
  return all.flatMap((p): Placed[] => {
    if (p.onset >= c.shell.length) return [];
    const next = following(p.onset);
    // A string that is struck again no longer sounds.
    const again = nextOnString.get(p.note);
    const room = again === undefined || again.string === null ? c.shell.length : c.place(again.at);
    const end = Math.min(c.shell.length, lengthened(p, next, c), Math.max(room, c.after(p.onset)));
    const struck = moments.get(p.onset) ?? [];
    const below = struck.filter((q) => lies(q) < lies(p.note)).length;
    return [{ ...p, end, slidTo: slidTo.has(p.note), rank: below }];
  });
}

/** Ascending from the lowest string, or by pitch. */
function lies(n: PartNote): number {
  return n.string === null ? n.midi : -n.string;
}

function unheard(note: PartNote, c: EventsContext, onset: Ticks): Motion {
  if (note.bends.some((b) => Math.abs(b.cents) >= 25)) {
    c.log.add(
      'dropped',
      'several notes share a channel that is bent: nobody can say whose bend it is',
      { onset },
    );
  }
  return {};
}

/** The first index whose entry is past a number. */
function upper(list: readonly number[], n: number): number {
  let low = 0;
  let high = list.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (list[middle]! <= n) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** A played note is let go early to strike the next: a short gap belongs to it. Nothing is of no length. */
function lengthened(
  p: { onset: Ticks; end: Ticks },
  next: Ticks | undefined,
  c: EventsContext,
): Ticks {
  const least = c.after(p.onset);
  if (c.byProgram) return Math.max(least, p.end > p.onset ? p.end : (next ?? least));
  if (next === undefined) return Math.max(least, p.end);
  const gap = next - p.end;
  const room = next - p.onset;
  if (gap > 0 && (gap <= TICKS_PER_QUARTER / 4 || gap <= 0.4 * room)) return next;
  return p.end > p.onset ? p.end : next;
}

/** What one voice strikes at a moment. */
interface Group {
  readonly onset: Ticks;
  end: Ticks;
  readonly notes: Placed[];
  /** It sounded on under what came next, and is cut there. */
  rings: boolean;
}

/** Of what was played, an overlap shorter than this is a finger that lets go late. */
const LATE = TICKS_PER_QUARTER / 4;

/** Notes in one line, or in two where some are held under others; a third line is cut and let ring. */
function linesOf(
  placed: readonly Placed[],
  late: Ticks,
  log: ImportLog,
): readonly (readonly Group[])[] {
  const lines: [Group[], Group[]] = [[], []];
  const moments = new Map<Ticks, Placed[]>();
  for (const p of placed) moments.set(p.onset, [...(moments.get(p.onset) ?? []), p]);
  for (const [onset, all] of [...moments].sort(([a], [b]) => a - b)) {
    for (const group of groupsOf(onset, onStrings(all, log), late)) join(lines, group, late, log);
  }
  const [first, second] = lines;
  if (second.length === 0) return [first];
  // The higher line is the melody.
  return mean(first) >= mean(second) ? [first, second] : [second, first];
}

/** One note a string. */
function onStrings(all: readonly Placed[], log: ImportLog): readonly Placed[] {
  const taken = new Set<number>();
  return all.filter((p) => {
    const { string } = p.note;
    if (string === null) return true;
    if (taken.has(string))
      log.add('dropped', 'a string is struck twice at one moment', { onset: p.onset });
    const free = !taken.has(string);
    taken.add(string);
    return free;
  });
}

/** Notes of one moment that end together, two groups at most: the longest apart. */
function groupsOf(onset: Ticks, all: readonly Placed[], late: Ticks): readonly Group[] {
  const ends = [...new Set(all.map((p) => p.end))].sort((a, b) => a - b);
  const longest = ends.at(-1)!;
  const split = ends.length > 1 && longest - ends.at(-2)! >= late;
  const groups = split
    ? [all.filter((p) => p.end < longest), all.filter((p) => p.end === longest)]
    : [all];
  return groups
    .filter((g) => g.length > 0)
    .map((notes) => ({
      onset,
      end: Math.max(...notes.map((p) => p.end)),
      notes: [...notes],
      rings: false,
    }));
}

function join(lines: [Group[], Group[]], g: Group, late: Ticks, log: ImportLog): void {
  const over = (line: Group[]) => (line.at(-1)?.end ?? 0) - g.onset;
  const [a, b] = lines;
  if (over(a) <= 0) return void a.push(g);
  const last = a.at(-1)!;
  const sameMoment = last.onset === g.onset;
  if (!sameMoment && over(a) < late) {
    last.end = g.onset;
    return void a.push(g);
  }
  if (over(b) <= 0) return void b.push(g);
  const line = sameMoment || over(b) < over(a) ? b : a;
  const cut = line.at(-1)!;
  if (cut.onset === g.onset) {
    cut.notes.push(...g.notes);
    return;
  }
  if (over(line) >= late) {
    cut.rings = true;
    log.add('approximated', 'more than two lines sound at once; what is held longest is let ring', {
      onset: cut.onset,
    });
  }
  cut.end = g.onset;
  line.push(g);
}

function mean(line: readonly Group[]): number {
  const all = line.flatMap((g) => g.notes.map((p) => p.note.midi));
  return all.reduce((sum, m) => sum + m, 0) / Math.max(1, all.length);
}

function eventOf(g: Group, c: EventsContext): Omit<PhraseEvent, 'notes' | 'graces'> {
  const guessed = c.byProgram ? {} : { guessed: true as const };
  const strum = g.notes.length > 1 ? g.notes[0]?.note.strum : undefined;
  const swept = strum === undefined ? {} : { strum };
  return { onset: g.onset, duration: g.end - g.onset, ...swept, ...guessed };
}

function builtNote(
  p: Placed,
  id: string,
  rings: boolean,
  c: EventsContext,
  namer: Namer,
): BuiltNote {
  const { note, motion, onset } = p;
  const { instrument } = c.shell;
  const fits = note.string !== null && note.string <= instrument.tuning.length;
  const fret = fits ? fretFor(instrument, note.string!, note.midi) : null;
  if (fits && fret === null && note.midi < openMidi(instrument, note.string!)) {
    c.log.add('mended', 'a note is lower than the string that sent it; another is chosen', {
      onset,
    });
  }
  const place = fret === null ? { string: 1, fret: 0 } : { string: note.string!, fret };
  const made: PitchedNote = {
    kind: 'pitched',
    id,
    ...place,
    pitch: namer.start(onset, note.midi, p.rank),
    ...(p.slidTo ? { attack: 'slide' as const } : {}),
    ...(motion.slideIn === undefined ? {} : { slideIn: motion.slideIn }),
    ...(motion.slideOut === undefined ? {} : { slideOut: motion.slideOut }),
    ...(motion.vibrato === undefined ? {} : { vibrato: motion.vibrato }),
    ...bendOf(p, namer),
    ...(rings ? { letRing: true as const } : {}),
  };
  return { placed: fret !== null, note: made, deadPitch: null, guessed: false };
}

function bendOf(p: Placed, namer: Namer): Pick<PitchedNote, 'bend'> {
  const { bend } = p.motion;
  if (bend === undefined) return {};
  if (bend.shape === 'curl') return { bend: { shape: 'curl', curve: bend.curve } };
  const target = namer.target(p.onset, p.note.midi + bend.semitones, p.rank);
  return { bend: { shape: bend.shape, target, curve: bend.curve } };
}
