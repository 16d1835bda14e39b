import { openMidi } from '../phrase/instrument';
import { byString } from '../phrase/rebuild';
import type { NoteId, Phrase, PhraseEvent, PitchedNote, Ticks, Tuplet } from '../phrase/types';
import { withVoice } from '../phrase/voices';
import { endOf } from '../phrase/walk';
import { midiOf, type Pitch } from '../theory/pitch';
import type { Tone } from './line';

/** Gives new notes their ids: `n` and one more than the highest such number. */
export class NewNotes {
  readonly ids = new Set<NoteId>();
  private last = 0;

  constructor(private readonly phrase: Phrase) {
    for (const v of phrase.voices)
      for (const e of v.events)
        for (const n of e.notes) {
          const m = /^n(\d{1,9})$/u.exec(n.id);
          if (m !== null) this.last = Math.max(this.last, Number(m[1]));
        }
  }

  /** A note on a string for now; the fingering finds its place. */
  make(pitch: Pitch, string: number): PitchedNote {
    const id = `n${++this.last}`;
    this.ids.add(id);
    const fret = midiOf(pitch) - openMidi(this.phrase.instrument, string);
    return { kind: 'pitched', id, pitch, string, fret };
  }

  /** Copies of notes under ids of their own. */
  copy<N extends { readonly id: NoteId }>(n: N): N {
    const id = `n${++this.last}`;
    this.ids.add(id);
    return { ...n, id };
  }
}

/** The phrase with the events of the melody replaced; tuplets in which nothing sounds go. */
export function withLine(
  p: Phrase,
  events: readonly PhraseEvent[],
  tuplets: readonly Tuplet[] = p.voices[0].tuplets,
): Phrase {
  const used = tuplets.filter((t) =>
    events.some((e) => e.onset < t.onset + t.duration && endOf(e) > t.onset),
  );
  return withVoice(p, 0, (v) => ({ ...v, events, tuplets: used }));
}

/** The event with one of its notes replaced. */
export function withNote(e: PhraseEvent, next: PitchedNote): PhraseEvent {
  return { ...e, notes: byString(e.notes.map((n) => (n.id === next.id ? next : n))) };
}

/** The event of a length; a guess about it is none any more. */
export function lasting(e: PhraseEvent, duration: Ticks): PhraseEvent {
  const { guessed: _, ...rest } = e;
  return { ...rest, duration };
}

/** A note without the ways it is reached or struck that speak of the note before. */
export function plucked<N extends PitchedNote>(n: N): N {
  const { attack: _, ...rest } = n;
  return rest as N;
}

/** Struck plainly: by a pluck, without slides, bends, graces, trills, harmonics or taps. */
export function isPlain(t: Pick<Tone, 'note' | 'event'>): boolean {
  const { note, event } = t;
  return (
    note.attack === undefined &&
    note.slideIn === undefined &&
    note.bend === undefined &&
    note.trill === undefined &&
    note.harmonic === undefined &&
    note.barDip === undefined &&
    event.graces === undefined &&
    event.rake === undefined &&
    event.tremolo === undefined
  );
}

/** Whether something after an event starts from it: a hammer-on, a pull-off, a slide. */
export function leadsOn(events: readonly PhraseEvent[], index: number): boolean {
  const next = events[index + 1];
  const e = events[index];
  if (next === undefined || e === undefined || endOf(e) !== next.onset) return false;
  return next.notes.some(
    (n) =>
      n.kind === 'pitched' &&
      n.attack !== undefined &&
      n.attack !== 'tap' &&
      e.notes.some((m) => m.string === n.string),
  );
}

/** Whether a note value can start at a moment (T1): on the grid, or on a part of a tuplet. */
export function canStart(tuplets: readonly Tuplet[], at: Ticks): boolean {
  const t = tuplets.find((x) => x.onset < at && at < x.onset + x.duration);
  return t === undefined ? at % 315 === 0 : (at - t.onset) % (t.duration / t.actual) === 0;
}
