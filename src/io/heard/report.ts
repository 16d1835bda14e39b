import type { Heard, HeardNote } from '../../core/heard/types';
import { notesOf } from '../../core/phrase/walk';
import { formatKey } from '../../core/theory/key';
import { formatPitch } from '../../core/theory/pitch';
import type { CaughtPhrase } from './phrases';
import type { Take } from './take';

/**
 * All that was heard as plain data: every note as it was played (seconds, MIDI numbers with cents, the
 * pitch every 11.6 ms) beside the note that it is written as.
 */
export function reportOf(take: Take, caught: readonly CaughtPhrase[], heard: Heard) {
  return {
    seconds: rounded(heard.seconds, 3),
    tempo: { ...take.tempo, found: take.found, fit: rounded(take.fit, 3) },
    firstBarAt: rounded(take.start, 3),
    meter: `${take.meter.beats}/${take.meter.beatType}`,
    feel: take.feel,
    key: { name: formatKey(take.key), found: take.keyFound },
    keys: take.keys.map((k) => ({
      key: formatKey(k.key),
      inScale: rounded(k.inScale, 2),
      tonicAndFifth: rounded(k.home, 2),
      endsOnTonic: k.endsHome,
    })),
    tunedCents: Math.round(100 * take.off),
    deadStrokes: heard.dead.map((d) => rounded(d.onset, 3)),
    phrases: caught.map((c) => ({
      title: c.phrase.meta.title,
      from: rounded(c.from, 3),
      to: rounded(c.to, 3),
      chords: c.chords.map((x) => ({ chord: x.symbol, share: rounded(x.share, 2) })),
      // Rhythms that are unsure, with the second-best one: ticks.
      unsureRhythm: c.doubts.map(({ note, of, other, taken }) => ({
        note,
        of,
        ...(of === 'place' ? { laterBy: other } : { duration: other }),
        ...(taken ? { taken } : {}),
      })),
      notes: notesOf(c.phrase).flatMap(({ note, event }) => {
        const played = c.heard.get(note.id);
        if (played === undefined || note.kind !== 'pitched') return [];
        return [
          {
            id: note.id,
            written: {
              onset: event.onset,
              duration: event.duration,
              pitch: formatPitch(note.pitch),
              string: note.string,
              fret: note.fret,
            },
            played: asPlayed(played),
          },
        ];
      }),
      changes: c.notes,
      phrase: c.phrase,
    })),
  };
}

function asPlayed(n: HeardNote) {
  const { onset, end, pitch, attack, muted, confidence, bend, vibrato, slideIn, slideOut } = n;
  return {
    onset: rounded(onset, 4),
    end: rounded(end, 4),
    midi: rounded(pitch, 3),
    attack,
    ...(bend === undefined
      ? {}
      : { bend: { shape: bend.shape, semitones: rounded(bend.semitones, 3) } }),
    ...(vibrato === undefined ? {} : { vibratoCents: Math.round(vibrato) }),
    ...(slideIn === undefined
      ? {}
      : { slideInSemitones: slideIn === null ? null : rounded(slideIn, 2) }),
    ...(slideOut === undefined ? {} : { slideOut }),
    ...(muted ? { muted } : {}),
    confidence: rounded(confidence, 2),
    curve: n.curve.map((c) => [rounded(c.at, 3), rounded(c.midi, 3)]),
  };
}

function rounded(x: number, digits: number): number {
  return Number(x.toFixed(digits));
}
