import { type PlayedTo, startOfRound } from '../../core/heard/clock';
import type { Heard } from '../../core/heard/types';
import { fail, ok, type Result } from '../../core/result';
import { formatKey, type Key } from '../../core/theory/key';
import { type CaughtPhrase, namedIn, type PhraseNames, phrasesOf } from '../../io/heard/phrases';
import { barsOf } from '../../io/heard/played-for';
import { type Take, takeOf } from '../../io/heard/take';
import type { CatchSaid, CaughtTake } from './messages';
import { instrumentOf, readKey } from './said';
import { beganAt, clockOf } from './to-clock';

/** A recording as it was heard, and what it was played to. */
export interface HeardRecording {
  readonly heard: Heard;
  readonly playedTo: PlayedTo | null;
  readonly names: PhraseNames;
  readonly remarks: readonly string[];
}

/** How well notes must lie on a beat that was found. */
const FITS = 0.62;

/**
 * What was heard, written in bars and cut into phrases. What was played before a click or a band began has a beat of its own.
 * @param without Numbers of notes that are left out.
 */
export function writeHeard(
  recording: HeardRecording,
  said: CatchSaid,
  without: ReadonlySet<number>,
): Result<CaughtTake> {
  const { heard, names, remarks } = recording;
  const read = readKey(said.key);
  if (!read.ok) return read;
  const key = read.value;
  const clock = clockOf(recording, said);
  const notes = heard.notes.filter((_, i) => !without.has(i));
  const began = clock === null ? 0 : beganAt(clock);
  const before = clock === null ? [] : notes.filter((n) => n.onset < began);
  const after = clock === null ? notes : notes.filter((n) => n.onset >= began);
  // The tempo that is said is the one of the click then, which was not there yet.
  const { bpm: _, ...free } = said;
  const made = [
    ...(before.length === 0 ? [] : [written({ ...heard, notes: before }, free, key, null, names)]),
    ...(after.length === 0 && before.length > 0
      ? []
      : [written({ ...heard, notes: after }, said, key, clock, names)]),
  ];
  // A noise before the click takes nothing away from what was played to it.
  const parts = made.flatMap((m) => (m.ok ? [m.value] : []));
  if (parts.length === 0) return fail(...made.flatMap((m) => (m.ok ? [] : m.problems)));
  const last = parts.at(-1)!;
  const first = parts.length > 1 ? parts[0]! : null;
  const { take: t } = last;
  return ok({
    said,
    bpm: t.tempo.bpm,
    bpmFound: t.found,
    meter: t.meter,
    readings: first === null ? t.readings : [],
    toClock: last.toClock,
    bpmBefore: first === null ? null : first.take.tempo.bpm,
    fits: !t.found || t.fit > FITS,
    key: formatKey(t.key),
    keyFound: t.keyFound,
    feel: t.feel.kind === 'swing' ? `swing ${t.feel.first} to ${t.feel.second}` : '',
    phrases: namedIn(
      names.title,
      parts.flatMap((p) => p.phrases),
    ),
    notes: heard.notes,
    without: [...without],
    bars: [...(first === null ? [] : barsOf(first.take, began)), ...barsOf(t, heard.seconds)],
    remarks,
    recorded: {
      dead: heard.dead,
      seconds: heard.seconds,
      title: names.title,
      now: names.now,
      playedTo: recording.playedTo,
    },
  });
}

interface Written {
  readonly take: Take;
  readonly phrases: readonly CaughtPhrase[];
  readonly toClock: boolean;
}

function written(
  heard: Heard,
  said: CatchSaid,
  key: Key | null,
  clock: PlayedTo | null,
  names: PhraseNames,
): Result<Written> {
  const onsets = heard.notes.map((n) => n.onset);
  const take = takeOf(heard, {
    ...(clock === null
      ? said.bpm === undefined
        ? {}
        : { bpm: said.bpm }
      : { bpm: clock.bpm, start: startOfRound(onsets, clock) }),
    ...(said.meter === undefined ? {} : { meter: said.meter }),
    ...(said.otherwise === undefined ? {} : { otherwise: said.otherwise }),
    ...(said.lane === '' ? {} : { lane: said.lane }),
    instrument: instrumentOf(said),
    ...(key === null ? {} : { key }),
  });
  if (!take.ok) return take;
  const phrases = phrasesOf(take.value, names);
  if (!phrases.ok) return phrases;
  return ok({ take: take.value, phrases: phrases.value, toClock: clock !== null });
}
