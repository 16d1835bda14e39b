import { nameBeside } from '../move/mend';
import { curveOfShape } from '../phrase/bend-curve';
import { openMidi } from '../phrase/instrument';
import type { NoteId, PhraseEvent, PitchedNote } from '../phrase/types';
import { heardPitch } from '../phrase/walk';
import { degree, degreeNearMidi, degreeSign, formatDegree } from '../theory/degree';
import { midiOf, type Pitch } from '../theory/pitch';
import type { Draft, Offer } from './draft';
import { degreeIn } from './harmony';
import { degreeOfTone, pitchedOf, type Tone, type Work } from './line';
import {
  canStart,
  isPlain,
  lasting,
  leadsOn,
  NewNotes,
  plucked,
  withLine,
  withNote,
} from './notes';
import { degreesSaid, listed, spotsOf, spread, unique } from './spots';

const EIGHTH = 5_040;
const SIXTEENTH = 2_520;

/** The shortest note that is worth colouring. */
function isLong(t: Tone): boolean {
  return t.event.duration >= EIGHTH;
}

/** Chord tones, and what is long on the beat: what a line aims at. */
function isTarget(t: Tone): boolean {
  return t.isTone || (t.weight > 0 && t.event.duration >= 2 * EIGHTH);
}

/**
 * Where a player starts a hammer or a bend into a degree (common practice): semitones below, the
 * usual one first.
 */
const STARTS: Readonly<Record<string, readonly number[]>> = {
  R: [2],
  b3: [1],
  '3': [1, 2],
  '5': [2, 1],
  b7: [1],
  '7': [2],
};

/** Semitones below from which the note is reached, over its chord; none for what nobody aims at. */
function startsOf(t: Tone): readonly number[] {
  return STARTS[formatDegree(degreeOfTone(t))] ?? [];
}

function below(t: Tone, semitones: number): Pitch {
  const d = degreeOfTone(t);
  // What leads to 3 by a semitone is the blue third, not a raised 2 (D3).
  if (d.number === 3 && d.alter === 0 && semitones === 1) {
    const blue = degreeNearMidi(t.harmony.root, degree(3, -1), t.midi - 1);
    if (blue !== null) return blue;
  }
  return nameBeside(heardPitch(t.note), -semitones, t.harmony.chord ?? undefined);
}

function wayInto(t: Tone, start: Pitch): string {
  return `${degreeSign(degreeIn(t.harmony, start))} to ${degreeSign(degreeOfTone(t))}`;
}

function changeAt(
  work: Work,
  tones: readonly Tone[],
  change: (e: PhraseEvent, t: Tone) => readonly PhraseEvent[],
) {
  const events = work.phrase.voices[0].events.flatMap((e, i) => {
    const t = tones.find((x) => x.index === i);
    return t === undefined ? [e] : change(e, t);
  });
  return withLine(work.phrase, events);
}

function idsOf(tones: readonly Tone[]): Set<NoteId> {
  return new Set(tones.flatMap((t) => t.event.notes.map((n) => n.id)));
}

/** Slid into from a semitone below: a single note, or all strings of a double stop. */
export function slideIn(work: Work): Offer {
  const could = work.line.filter(
    (t) =>
      isLong(t) && isTarget(t) && t.event.graces === undefined && pitchedOf(t.event).every(slides),
  );
  if (could.length === 0) return 'no note here can be slid into';
  return spotsOf(work, could).flatMap((s): Draft[] =>
    ([1, 2] as const).map((semitones): Draft => {
      const slid = (n: PitchedNote): PitchedNote => ({
        ...n,
        slideIn: { kind: 'interval', from: 'below', semitones },
      });
      const phrase = changeAt(work, s.tones, (e) => [
        pitchedOf(e).reduce((done, n) => withNote(done, slid(n)), e),
      ]);
      const from = semitones === 1 ? 'a semitone' : 'a whole tone';
      return {
        kind: 'notes',
        free: new Set([...idsOf(s.tones)].filter((id) => isLow(s.tones, id, semitones))),
        phrase,
        worth: s.worth - (semitones - 1) * 1.2,
        reason: `slid into from ${from} below ${s.where}, on ${degreesSaid(s.tones)}`,
      };
    }),
  );
}

function slides(n: PitchedNote): boolean {
  return (
    n.attack === undefined &&
    n.slideIn === undefined &&
    n.bend === undefined &&
    n.harmonic === undefined &&
    n.trill === undefined
  );
}

/** Notes too near the nut for what is to be done on them. */
function isLow(tones: readonly Tone[], id: NoteId, frets: number): boolean {
  return tones.some((t) => t.event.notes.some((n) => n.id === id && n.fret <= frets));
}

/** A grace note hammered into the note: ♭3 into 3, 4 into 5, ♭7 into R. */
export function grace(work: Work): Offer {
  const could = work.line.filter(
    (t) => isLong(t) && isPlain(t) && startsOf(t).length > 0 && !wasThere(work, t),
  );
  if (could.length === 0) return 'no note here is one that a grace note leads into';
  return spotsOf(work, could).map((s): Draft => {
    const free = new Set<NoteId>();
    const ways: string[] = [];
    const phrase = changeAt(work, s.tones, (e, t) => {
      const semitones = startsOf(t)[0]!;
      const pitch = below(t, semitones);
      ways.push(wayInto(t, pitch));
      const { note } = t;
      const low = note.fret < semitones;
      for (const n of e.notes) if (low) free.add(n.id);
      const fret = note.fret - semitones;
      free.add(`${[...e.notes.map((n) => n.id)].sort()[0]!}:g0:0`);
      const hammered: PitchedNote = { ...note, attack: 'hammer-on' };
      const withGrace = withNote(e, hammered);
      return [{ ...withGrace, graces: [{ notes: [{ pitch, string: note.string, fret }] }] }];
    });
    return {
      kind: 'notes',
      free,
      phrase,
      worth: s.worth,
      reason: `a grace note hammered in ${s.where}: ${listed(unique(ways).slice(0, 4))}`,
    };
  });
}

/** Whether the note before is the one that would lead in: then it is done already. */
function wasThere(work: Work, t: Tone): boolean {
  const before = work.line.find((x) => x.index === t.index - 1);
  return before !== undefined && startsOf(t).includes(t.midi - before.midi);
}

/** The note's own time is shared: it begins on the degree below and is hammered up. */
export function hammerOn(work: Work): Offer {
  const { events, tuplets } = work.phrase.voices[0];
  const swung = work.phrase.feel.kind === 'swing';
  const could = work.line.filter(
    (t) =>
      // Two sixteenths on a swung beat are no hammer-on any more but a stumble.
      t.event.duration >= (swung ? 2 * EIGHTH : EIGHTH) &&
      isPlain(t) &&
      t.event.notes.length === 1 &&
      !t.inTuplet &&
      startsOf(t).length > 0 &&
      !wasThere(work, t) &&
      !leadsOn(events, t.index) &&
      canStart(tuplets, t.event.onset + shareOf(t)),
  );
  if (could.length === 0) return 'no note here is long enough and one that is hammered into';
  return spotsOf(work, could).map((s): Draft => {
    const made = new NewNotes(work.phrase);
    const ways: string[] = [];
    const free = new Set<NoteId>();
    const phrase = changeAt(work, s.tones, (e, t) => {
      const semitones = startsOf(t)[0]!;
      const pitch = below(t, semitones);
      ways.push(wayInto(t, pitch));
      if (t.note.fret < semitones) free.add(t.note.id);
      const first = made.make(pitch, t.note.string);
      const share = shareOf(t);
      const { stroke, accent, ...rest } = e;
      const start: PhraseEvent = {
        onset: e.onset,
        duration: share,
        notes: [first],
        ...(stroke === undefined ? {} : { stroke }),
        ...(accent === undefined ? {} : { accent }),
        ...(e.palmMute === undefined ? {} : { palmMute: e.palmMute }),
      };
      const target = lasting({ ...rest, onset: e.onset + share }, e.duration - share);
      return [start, withNote(target, { ...t.note, attack: 'hammer-on' })];
    });
    return {
      kind: 'notes',
      free: new Set([...free, ...made.ids]),
      phrase,
      worth: s.worth,
      reason: `hammered on in time ${s.where}: ${listed(unique(ways).slice(0, 4))}`,
    };
  });
}

/** How long the lower note lasts: an eighth of what is a quarter or more, else half. */
function shareOf(t: Tone): number {
  return t.event.duration >= 2 * EIGHTH ? EIGHTH : Math.min(SIXTEENTH, t.event.duration / 2);
}

/** Degrees that are curled up a little: the blue ones and ♭7 (common practice). */
const CURLED = new Set(['b3', 'b7', 'b5']);

/** Curls long ♭3, ♭5 and ♭7 upwards by a quarter tone, where nothing else is done with them. */
export function curl(work: Work): Offer {
  const could = work.line.filter(
    (t) =>
      CURLED.has(formatDegree(degreeOfTone(t))) &&
      isLong(t) &&
      t.note.bend === undefined &&
      t.note.trill === undefined &&
      t.note.harmonic === undefined &&
      !leadsOn(work.phrase.voices[0].events, t.index),
  );
  if (could.length === 0) return 'there is no ♭3, ♭5 or ♭7 here that could be curled';
  return spotsOf(work, could).map((s): Draft => {
    const phrase = changeAt(work, s.tones, (e, t) => [
      withNote(e, { ...t.note, bend: { shape: 'curl', curve: curveOfShape('curl') } }),
    ]);
    return {
      kind: 'notes',
      free: new Set([...idsOf(s.tones)].filter((id) => isLow(s.tones, id, 0))),
      phrase,
      worth: s.worth,
      reason: `curled up a quarter tone ${s.where}: ${degreesSaid(s.tones)}`,
    };
  });
}

/** The lowest fret at which a bend is comfortable, for the first choice of place. */
const EASY_BEND_FRET = 5;

/** The highest strings in sound, which are the ones that bend well. */
function bendsWell(work: Work, n: PitchedNote, semitones: number): boolean {
  const { instrument } = work.phrase;
  return n.string <= 3 && n.fret - semitones >= EASY_BEND_FRET && instrument.tuning.length >= 6;
}

/** The note is reached by a bend from the degree below: ♭7 to R, 4 to 5, ♭3 to 3. */
export function bend(work: Work): Offer {
  if (work.phrase.instrument.tuning.length < 6) return 'bends are left to guitars';
  const { events } = work.phrase.voices[0];
  const could = spread(
    work.line.filter(
      (t) =>
        isPlain(t) &&
        t.event.notes.length === 1 &&
        t.event.duration >= EIGHTH &&
        t.note.letRing === undefined &&
        startsOf(t).length > 0 &&
        t.midi - startsOf(t)[0]! > openMidi(work.phrase.instrument, 3) &&
        !leadsOn(events, t.index),
    ),
  );
  if (could.length === 0) return 'no note here lies where a bend would reach it';
  return spotsOf(work, could).map((s): Draft => {
    const free = new Set<NoteId>();
    const ways: string[] = [];
    const phrase = changeAt(work, s.tones, (e, t) => {
      const semitones = startsOf(t)[0]!;
      const pitch = below(t, semitones);
      ways.push(wayInto(t, pitch));
      if (!bendsWell(work, t.note, semitones)) free.add(t.note.id);
      const fret = t.note.fret - semitones;
      const target = heardPitch(t.note);
      const bent: PitchedNote = {
        ...t.note,
        pitch,
        fret,
        bend: { shape: 'bend', target, curve: curveOfShape('bend') },
      };
      return [withNote(e, bent)];
    });
    const few = s.tones.length <= Math.max(2, work.line.length / 6) ? 0.8 : 0;
    return {
      kind: 'notes',
      free,
      phrase,
      worth: s.worth + few,
      reason: `reached by a bend ${s.where}: ${listed(unique(ways).slice(0, 4))}`,
    };
  });
}

/** Everything that is done on the way into a note or on it goes: what is heard stays. */
export function plain(work: Work): Offer {
  const free = new Set<NoteId>();
  let changed = 0;
  const events = work.phrase.voices[0].events.map((e): PhraseEvent => {
    const { graces, rake, tremolo, ...rest } = e;
    let next: PhraseEvent = rest;
    if (graces !== undefined || rake !== undefined || tremolo !== undefined) changed++;
    for (const n of pitchedOf(e)) {
      const bare = withoutSigns(n);
      if (bare === n) continue;
      changed++;
      if (bare.pitch !== n.pitch) free.add(n.id);
      const fret = midiOf(bare.pitch) - openMidi(work.phrase.instrument, n.string);
      next = withNote(next, n.harmonic === undefined ? { ...bare, fret } : bare);
    }
    return next;
  });
  if (changed === 0) return 'every note is plain already';
  const reason = 'every note plucked plainly, a bent one at the pitch it reaches';
  return [{ kind: 'notes', free, phrase: withLine(work.phrase, events), worth: 1, reason }];
}

function withoutSigns(n: PitchedNote): PitchedNote {
  const { slideIn: a, slideOut: b, bend: c, vibrato: d, trill: e, barDip: f, ...rest } = n;
  const some = [a, b, c, d, e, f, n.attack].some((x) => x !== undefined);
  return some ? plucked({ ...rest, pitch: heardPitch(n) }) : n;
}
