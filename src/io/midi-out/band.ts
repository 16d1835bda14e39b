import type { Round } from '../../core/practice/rounds';
import { velocityOf } from '../../core/sound/loudness';
import { channelOf, DRUM_CHANNEL, DRUM_KEYS, PROGRAMS } from '../../core/sound/midi-channels';
import type { StringPart } from '../../core/sound/parts';
import { meta, type TrackEvent, textMeta } from './bytes';

/** A drum's note lasts a 32nd: what is struck rings as long as it does by itself. */
const STROKE = 1_260;

/** Bass, comping and drums of the rounds, each a track where there is anything to play. */
export function bandTracks(rounds: readonly Round[], strings: number): readonly TrackEvent[][] {
  if (rounds.every((r) => r.backing === null)) return [];
  const bass = stringTrack('Bass', channelOf(strings + 1), rounds, (r) => r.backing?.bass ?? null);
  const comping = stringTrack(
    'Comping',
    channelOf(strings + 2),
    rounds,
    (r) => r.backing?.comping ?? null,
  );
  return [bass, comping, drumTrack(rounds)].filter((t) => t.length > 0);
}

/** All strings of the band's instrument on one channel: nothing in it is bent. */
function stringTrack(
  name: string,
  channel: number,
  rounds: readonly Round[],
  partOf: (r: Round) => StringPart | null,
): TrackEvent[] {
  const notes: TrackEvent[] = [];
  let program: number | null = null;
  for (const r of rounds) {
    const part = partOf(r);
    if (part === null) continue;
    program ??= PROGRAMS[part.tone];
    const sounds = part.sounds;
    for (const s of sounds) {
      const on = tickOf(r, s.onset);
      // The same key on another string ends this one: a channel has a key but once.
      const again = sounds.find((x) => x.midi === s.midi && x.onset > s.onset);
      const end = Math.min(s.onset + s.length, again?.onset ?? Number.POSITIVE_INFINITY);
      const off = Math.max(on + 1, tickOf(r, end));
      notes.push({ at: on, rank: 2, bytes: [0x90 | channel, s.midi, velocityOf(s.level)] });
      notes.push({ at: off, rank: 0, bytes: [0x80 | channel, s.midi, 64] });
    }
  }
  if (program === null) return [];
  return [...named(name, channel, [[0xc0 | channel, program]]), ...notes];
}

function drumTrack(rounds: readonly Round[]): TrackEvent[] {
  const notes = rounds.flatMap((r) =>
    [...lastOfEach(r)].flatMap(([, { at, end, key, level }]): TrackEvent[] => [
      { at, rank: 2, bytes: [0x90 | DRUM_CHANNEL, key, velocityOf(level)] },
      { at: end, rank: 0, bytes: [0x80 | DRUM_CHANNEL, key, 64] },
    ]),
  );
  return notes.length === 0 ? [] : [...named('Drums', DRUM_CHANNEL, []), ...notes];
}

interface Stroke {
  readonly at: number;
  readonly end: number;
  readonly key: number;
  readonly level: number;
}

/** Strokes by moment and key; of two on one key at one moment the louder. */
function lastOfEach(r: Round): ReadonlyMap<string, Stroke> {
  const all = new Map<string, Stroke>();
  const hits = [...(r.backing?.drums ?? [])].sort((a, b) => b.onset - a.onset);
  const next = new Map<number, number>();
  for (const h of hits) {
    const at = tickOf(r, h.onset);
    const key = DRUM_KEYS[h.drum];
    const name = `${at} ${key}`;
    const same = all.get(name);
    const end = same?.end ?? Math.min(at + STROKE, next.get(key) ?? Number.POSITIVE_INFINITY);
    all.set(name, { at, end, key, level: Math.max(h.level, same?.level ?? h.level) });
    next.set(key, at);
  }
  return all;
}

function named(
  name: string,
  channel: number,
  more: readonly (readonly number[])[],
): readonly TrackEvent[] {
  const messages = [textMeta(0x03, name), meta(0x20, [channel]), ...more];
  return messages.map((bytes, i) => ({ at: 0, rank: i - messages.length, bytes }));
}

function tickOf(r: Round, seconds: number): number {
  return r.ticksBefore + Math.round(seconds / r.played.secondsPerTick);
}
