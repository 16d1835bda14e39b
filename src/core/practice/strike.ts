import { BACKING_GUITAR, voicingsOf } from '../backing/voicings';
import type { ChordChange, NoteId, Phrase } from '../phrase/types';
import type { StringPart } from '../sound/parts';
import { perform } from '../sound/perform';
import { toneOf } from '../sound/tone';
import type { Seconds, Sound } from '../sound/types';
import { chordOf } from '../theory/chord';

/** What is heard while one writes is no longer than this. */
const LONGEST: Seconds = 1.6;
/** From string to string of a chord that is heard when it was typed. */
const STROKE: Seconds = 0.012;

/**
 * What notes sound like that were just written, as they stand now: everything that is struck with the
 * first of them, with its techniques. Null where none of them is in the phrase.
 */
export function struckNotes(p: Phrase, ids: ReadonlySet<NoteId>): StringPart | null {
  for (const voice of p.voices) {
    const index = voice.events.findIndex((e) => e.notes.some((n) => ids.has(n.id)));
    const event = voice.events[index];
    if (event === undefined) continue;
    // What leads to it on the same string says how it begins.
    const events = voice.events.slice(Math.max(0, index - 1), index + 1);
    const alone: Phrase = { ...p, voices: [{ events, tuplets: [] }] };
    const sounds = perform(alone, { repeats: false }).sounds.filter((s) => s.tick === event.onset);
    return { instrument: p.instrument, tone: toneOf(p), sounds: atOnce(sounds) };
  }
  return null;
}

/** Sounds from the first of them on, plucked where something would have led to them. */
function atOnce(sounds: readonly Sound[]): readonly Sound[] {
  const first = Math.min(...sounds.map((s) => s.onset));
  const struck = new Set<number>();
  return sounds.map((s) => {
    const leads = struck.has(s.string);
    struck.add(s.string);
    const begin = leads || s.begin === 'tapped' ? s.begin : 'plucked';
    return { ...s, begin, onset: s.onset - first, length: Math.min(s.length, LONGEST) };
  });
}

/** The first symbol of a lane that another lane does not have at its place; null where all are there. */
export function newChord(
  before: readonly ChordChange[],
  after: readonly ChordChange[],
): ChordChange | null {
  return (
    after.find((c) => !before.some((b) => b.onset === c.onset && b.symbol === c.symbol)) ?? null
  );
}

/** A chord as a guitar accompanies with it; null for N.C. and what no grip holds. */
export function struckChord({ symbol }: ChordChange): StringPart | null {
  if (symbol === null) return null;
  const voicings = voicingsOf(chordOf(symbol));
  const [first, ...rest] = voicings;
  if (first === undefined) return null;
  const best = rest.reduce((a, b) => (b.cost < a.cost ? b : a), first);
  const sounds = best.voices.map(
    (v, i): Sound => ({
      noteId: null,
      voice: 0,
      string: v.string,
      fret: v.fret,
      onset: i * STROKE,
      length: LONGEST,
      tick: 0,
      level: 0,
      begin: 'plucked',
      manner: 'open',
      midi: v.midi,
      curve: [{ at: 0, cents: 0 }],
    }),
  );
  return { instrument: BACKING_GUITAR, tone: 'clean', sounds };
}
