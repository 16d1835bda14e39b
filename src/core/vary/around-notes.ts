import { nameBeside } from '../move/mend';
import type { PhraseEvent, Ticks } from '../phrase/types';
import { endOf, heardPitch } from '../phrase/walk';
import { degreeSign } from '../theory/degree';
import { midiOf, type Pitch } from '../theory/pitch';
import type { Draft, Offer } from './draft';
import { degreeIn, scaleNeighbour } from './harmony';
import { beatAt, degreeOfTone, type Tone, type Work } from './line';
import { canStart, lasting, NewNotes, withLine } from './notes';
import { listed, restBefore, spotsOf, spread, unique } from './spots';

const EIGHTH = 5_040;

/** Notes to be put before a target, in playing order; null where a target takes none. */
type Lead = (t: Tone, work: Work) => readonly Pitch[] | null;

/** The chromatic note a semitone below; a chord tone or the note before is no approach. */
const fromBelow: Lead = (t, work) => {
  const pitch = nameBeside(heardPitch(t.note), -1, t.harmony.chord ?? undefined);
  return isNew(t, work, pitch) ? [pitch] : null;
};

/** The note of the scale above (common practice: from above by scale, from below by semitone). */
const fromAbove: Lead = (t, work) => {
  const pitch = scaleNeighbour(t.harmony, t.midi, 1);
  return pitch !== null && isNew(t, work, pitch) ? [pitch] : null;
};

/** From above, then from below: the note is enclosed. */
const around: Lead = (t, work) => {
  const above = scaleNeighbour(t.harmony, t.midi, 1);
  const below = nameBeside(heardPitch(t.note), -1, t.harmony.chord ?? undefined);
  return above !== null && isNew(t, work, above) ? [above, below] : null;
};

/** Whether the line would not just repeat what it comes from. */
function isNew(t: Tone, work: Work, first: Pitch): boolean {
  const before = work.line.find((x) => x.index === t.index - 1);
  return before === undefined || before.midi !== midiOf(first);
}

/**
 * The time that notes before a target can have: silence first, then what the note before can spare
 * and still be as long as they are. Null where a hand would have to hurry.
 */
function room(work: Work, t: Tone, count: number): Ticks | null {
  const { events, tuplets } = work.phrase.voices[0];
  const before = events[t.index - 1];
  const silence = restBefore(work, t.index);
  for (const each of [EIGHTH, EIGHTH / 2]) {
    const all = each * count;
    const from = t.event.onset - all;
    if (from < 0 || each > beatAt(work.phrase, t.event.onset) / 2) continue;
    // Sixteenths before a note only where the phrase has them, or two of them share an eighth.
    if (each < EIGHTH && count === 1 && !hasSixteenths(work)) continue;
    const writable = Array.from({ length: count }, (_, k) => from + k * each);
    if (!writable.every((at) => canStart(tuplets, at))) continue;
    if (tuplets.some((x) => from < x.onset + x.duration && t.event.onset > x.onset)) continue;
    if (silence >= all) return each;
    const left = before === undefined ? 0 : from - before.onset;
    if (before !== undefined && left >= Math.max(each, EIGHTH) && isCuttable(before)) return each;
  }
  return null;
}

function isCuttable(e: PhraseEvent): boolean {
  return (
    e.tremolo === undefined && e.notes.every((n) => n.kind === 'dead' || n.trill === undefined)
  );
}

function hasSixteenths(work: Work): boolean {
  return work.phrase.voices[0].events.some((e) => e.duration <= EIGHTH / 2);
}

/** Chord tones that something can lead into: not reached from the note before, and worth it. */
function targets(work: Work, lead: Lead, count: number): readonly Tone[] {
  return spread(
    work.line.filter(
      (t) =>
        t.isTone &&
        t.event.duration >= EIGHTH &&
        t.event.graces === undefined &&
        t.note.slideIn === undefined &&
        (t.note.attack === undefined || t.note.attack === 'tap') &&
        t.event.notes.length === 1 &&
        room(work, t, count) !== null &&
        lead(t, work) !== null,
    ),
  );
}

function led(what: string, count: number, lead: Lead): (work: Work) => Offer {
  return (work) => {
    const could = targets(work, lead, count);
    if (could.length === 0) return 'no chord tone here has room before it';
    return spotsOf(work, could).map((s): Draft => {
      const made = new NewNotes(work.phrase);
      const ways: string[] = [];
      let hurried = false;
      const { events } = work.phrase.voices[0];
      const out: PhraseEvent[] = [];
      events.forEach((e, i) => {
        const t = s.tones.find((x) => x.index === i);
        const pitches = t === undefined ? null : lead(t, work);
        if (t === undefined || pitches === null) {
          out.push(e);
          return;
        }
        const each = room(work, t, count)!;
        if (each < EIGHTH && work.phrase.feel.kind === 'swing') hurried = true;
        const from = e.onset - each * count;
        const before = out.at(-1);
        if (before !== undefined && endOf(before) > from) {
          out[out.length - 1] = lasting(before, from - before.onset);
        }
        ways.push(waySaid(t, pitches));
        pitches.forEach((p, k) => {
          const note = made.make(p, t.note.string);
          out.push({ onset: from + k * each, duration: each, notes: [note] });
        });
        out.push(e);
      });
      return {
        kind: 'notes',
        free: made.ids,
        phrase: withLine(work.phrase, out),
        worth: s.worth - (hurried ? 1 : 0),
        reason: `${what} ${s.where}: ${listed(unique(ways).slice(0, 4))}`,
      };
    });
  };
}

function waySaid(t: Tone, pitches: readonly Pitch[]): string {
  const degrees = pitches.map((p) => degreeSign(degreeIn(t.harmony, p)));
  return `${degrees.join(' and ')} to ${degreeSign(degreeOfTone(t))}`;
}

export const approachBelow = led('approached from a semitone below', 1, fromBelow);
export const approachAbove = led('approached from the scale note above', 1, fromAbove);
export const enclosure = led('enclosed from above and below', 2, around);
