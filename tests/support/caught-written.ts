import type { Heard } from '../../src/core/heard/types';
import { barSpans, beatTicks } from '../../src/core/phrase/time';
import type { ChordChange, Phrase } from '../../src/core/phrase/types';
import { notesOf } from '../../src/core/phrase/walk';
import { secondsPerTick } from '../../src/core/sound/perform';
import { chordOf } from '../../src/core/theory/chord';
import { formatDegree } from '../../src/core/theory/degree';
import { midiOf } from '../../src/core/theory/pitch';
import { analyse } from '../../src/core/understand/analyse';
import { phrasesOf } from '../../src/io/heard/phrases';
import { takeOf } from '../../src/io/heard/take';
import type { HeardBack } from './caught';
import { Tally } from './tally';

/** What is told of the music: nothing, or the tempo and where the first bar begins. */
export interface Way {
  readonly bpm?: number;
  readonly start?: number;
}

export interface Written {
  readonly tally: Tally;
  readonly written: Phrase | null;
  readonly said: string | null;
}

/** A length or a place may be off by less than a 128th in ticks. */
const NEAR = 20;

/** Writes what was heard, and counts what of rhythm, pitch, degrees and strings is as it was. */
export function writtenAgain(p: Phrase, heard: Heard, back: HeardBack, way: Way): Written {
  const tally = new Tally();
  const meter = p.bars[0]!.meter;
  const take = takeOf(heard, { key: p.key, instrument: p.instrument, meter, ...way });
  if (!take.ok) return { tally, written: null, said: take.problems[0]!.message };
  const names = { newId: () => 'caught', now: '2026-11-27T00:00:00Z', title: 'Caught' };
  // The chords it was played over, which a player tells.
  const lane = laneOfBars(p);
  const made = phrasesOf({ ...take.value, lane: lane ?? [] }, names, 'whole');
  if (!made.ok) return { tally, written: null, said: made.problems[0]!.message };
  const [caught] = made.value;
  const straight = p.bars.every((b) => b.repeatEnd === undefined && b.ending === undefined);
  const at = new Map(
    notesOf(caught!.phrase).map((w) => [caught!.heard.get(w.note.id)!, w] as const),
  );
  const origin = new Map(notesOf(p).map(({ note, event }) => [note.id, event]));
  const found = take.value.secondsPerTick / secondsPerTick(p.tempo);
  // Half and double time are the same rhythm, and a tempo that is hardly off is the same tempo.
  const near = [0.5, 1, 2].find((x) => Math.abs(found / x - 1) < 0.03);
  const ratio = near ?? found;
  const level = near !== undefined;
  const degrees = { p: analyse(p).byId, w: analyse(caught!.phrase).byId };
  const counted = new Set<string>();
  const rows = back.pairs.flatMap(([r, h]) => {
    const { note } = back.reference[r]!;
    const w = at.get(heard.notes[h]!);
    // A trill, a tremolo and a repeat sound more often than they are written.
    if (note === undefined || counted.has(note.id) || w?.note.kind !== 'pitched') return [];
    counted.add(note.id);
    return [{ note, event: origin.get(note.id)!, w, written: w.note }];
  });
  // Without a tempo that is told, what counts is the distance from note to note.
  const known = way.start !== undefined;
  const away = rows.map(({ event, w }) => event.onset - w.event.onset * ratio);
  const shift = known ? 0 : middle(away);
  const name = known ? '' : ', tempo found';
  for (const { note, event, w, written } of rows) {
    if (straight) {
      const same = level && Math.abs(w.event.onset * ratio + shift - event.onset) < NEAR;
      tally.add(`onset exact${name}`, same ? 1 : 0, 1, 1);
      const long = level && Math.abs(w.event.duration * ratio - event.duration) < NEAR;
      tally.add(`length exact${name}`, long ? 1 : 0, 1, 1);
      const marked = w.event.guessed === true ? 'marked' : 'unmarked';
      tally.add(`rhythm wrong, ${marked}${name}`, same && long ? 0 : 1, 1, 1);
    }
    if (!known) continue;
    const pitch = midiOf(written.pitch) === midiOf(note.pitch);
    tally.add('pitch', pitch ? 1 : 0, 1, 1);
    if (note.harmonic === undefined) {
      tally.add('string', written.string === note.string ? 1 : 0, 1, 1);
    }
    const [a, b] = [degrees.p.get(note.id), degrees.w.get(written.id)];
    if (pitch && lane !== null && a?.start.chordDegree != null) {
      const own = formatDegree(a.start.chordDegree);
      const is = b?.start.chordDegree == null ? '' : formatDegree(b.start.chordDegree);
      tally.add('degree', own === is ? 1 : 0, 1, 1);
    }
  }
  if (!known) tally.add('tempo', level ? 1 : 0, 1, 1);
  return { tally, written: caught!.phrase, said: null };
}

/** The chords of a phrase bar by bar, where they change with bars or lie evenly in them; null otherwise. */
function laneOfBars(p: Phrase) {
  if (p.chords.length === 0 || p.pickup > 0) return null;
  const spans = barSpans(p);
  let now: ChordChange['symbol'] = null;
  const bars = spans.map((s) => {
    for (const c of p.chords) if (c.onset === s.start) now = c.symbol;
    return [now === null ? null : chordOf(now)];
  });
  const inside = p.chords.some((c) => !spans.some((s) => s.start === c.onset));
  return inside || beatTicks(p.bars[0]!.meter) === 0 ? null : bars;
}

function middle(list: readonly number[]): number {
  return [...list].sort((a, b) => a - b)[list.length >> 1] ?? 0;
}
