import { valueOfTicks } from '../phrase/note-value';
import { canFill, isPlaceIn, shortestIn } from '../phrase/tuplet';
import { TUPLET_RATIOS, tupletRatio } from '../phrase/tuplet-ratios';
import type { Phrase, Ticks, Tuplet, Voice } from '../phrase/types';
import { endOf } from '../phrase/walk';
import type { Findings } from './findings';

/** A 128th note, the shortest undotted value (T1). */
export const GRID = 315;

/** Order and extent of the events, and the values they can be written in (T1). */
export function checkRhythm(p: Phrase, out: Findings): void {
  p.voices.forEach((v, voice) => {
    const before = out.count;
    checkTuplets(p, v, voice, out);
    // With wrong tuplets every boundary inside them would be reported once more.
    const tuplets = out.count === before ? v.tuplets : null;
    checkEvents(p, v, voice, tuplets, out);
  });
}

function checkTuplets(p: Phrase, v: Voice, voice: number, out: Findings): void {
  let end = 0;
  v.tuplets.forEach((t, i) => {
    const report = (message: string, fix: string) => {
      out.add({ pointer: `/voices/${voice}/tuplets/${i}`, message, fix, onset: t.onset });
    };
    const span = out.spanAt(t.onset);
    if (tupletRatio(t.actual, t.normal) === null) {
      report(
        `a tuplet of ${t.actual} in the time of ${t.normal} is not in use`,
        `Use one of ${TUPLET_RATIOS.map((r) => `${r.actual}:${r.normal}`).join(', ')}.`,
      );
    } else if (!canFill(t, t.duration)) {
      const least = shortestIn(t);
      report(
        `a tuplet ${t.actual}:${t.normal} cannot fill ${t.duration} ticks`,
        `Let it fill ${t.normal} undotted notes, from ${valueOfTicks(least)?.value}s (${t.normal * least} ticks) upwards by doubling.`,
      );
    } else if (t.onset % GRID !== 0) {
      report('a tuplet starts off the grid', 'Start it on a multiple of a 128th (315 ticks).');
    } else if (!(t.onset >= end)) {
      report(
        'the tuplet starts before the one before it has ended',
        'Keep tuplets in ascending order without overlap.',
      );
    } else if (!(t.onset + t.duration <= Math.min(span.end, p.length))) {
      report('the tuplet reaches over the end of its bar', 'Keep a tuplet inside one bar.');
    }
    end = Math.max(end, t.onset + t.duration);
  });
}

function checkEvents(
  p: Phrase,
  v: Voice,
  voice: number,
  tuplets: readonly Tuplet[] | null,
  out: Findings,
): void {
  let end = 0;
  v.events.forEach((e, i) => {
    const pointer = `/voices/${voice}/events/${i}`;
    const report = (field: string, message: string, fix: string) => {
      out.add({ pointer: pointer + field, message, fix, onset: e.onset });
    };
    if (!(e.duration > 0)) {
      report('/duration', 'the note has no length', 'Give it at least a 128th (315 ticks).');
    }
    if (!(e.onset >= end)) {
      const fix =
        'Keep the events of a voice ascending; notes struck together belong in one event.';
      if (i === 0) report('/onset', 'the note starts before the phrase', fix);
      else report('/onset', 'the note starts before the one before it in its voice has ended', fix);
    }
    if (endOf(e) > p.length) {
      report(
        '/duration',
        `the note ends at tick ${endOf(e)}, after the end of the phrase at ${p.length}`,
        'Shorten it or make the phrase longer.',
      );
    }
    end = Math.max(end, endOf(e));
    if (tuplets === null) return;
    const fix = 'Use values down to the 128th (315 ticks), and inside a tuplet its own division.';
    if (!isWritable(tuplets, e.onset)) {
      report('/onset', `tick ${e.onset} is no place where a note value can start`, fix);
    } else if (!isWritable(tuplets, endOf(e))) {
      report('/duration', `tick ${endOf(e)} is no place where a note value can end`, fix);
    }
  });
}

/** T1: a multiple of a 128th, or inside a tuplet of its shortest value. Bars start on the grid. */
function isWritable(tuplets: readonly Tuplet[], tick: Ticks): boolean {
  const t = tupletAround(tuplets, tick);
  if (t === null) return tick % GRID === 0;
  return isPlaceIn(t, tick);
}

/** The tuplet with the tick strictly inside, by binary search in ascending tuplets. */
function tupletAround(tuplets: readonly Tuplet[], tick: Ticks): Tuplet | null {
  let low = 0;
  let high = tuplets.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    const t = tuplets[middle]!;
    if (t.onset + t.duration <= tick) low = middle + 1;
    else high = middle;
  }
  const t = tuplets[low];
  return t !== undefined && t.onset < tick ? t : null;
}
