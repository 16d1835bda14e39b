import type { LaidForm } from '../form/lay';
import type { Phrase } from '../phrase/types';
import { notesOf } from '../phrase/walk';
import type { SoloOptions } from './types';

/** Longer phrases are solos themselves. */
const MOST_BARS = 4;

/**
 * Which phrases can stand in a solo over a form: in its metre, up to four bars without repeats, with
 * a line of three notes at least (chords where they are asked for), for the instrument that most of them are for.
 * @returns Their places in the list.
 */
export function usablePhrases(
  phrases: readonly Phrase[],
  { form, bars }: LaidForm,
  { level, chords }: SoloOptions,
): readonly number[] {
  const meter = `${form.meter.beats}/${form.meter.beatType}`;
  const fits = phrases.flatMap((p, i) => {
    const { length } = p.bars;
    if (length > Math.min(MOST_BARS, bars.length)) return [];
    if (p.bars.some((b) => `${b.meter.beats}/${b.meter.beatType}` !== meter)) return [];
    if (p.bars.some((b) => b.repeatStart || b.repeatEnd !== undefined || b.ending)) return [];
    if (level !== undefined && p.meta.level !== undefined && p.meta.level > level) return [];
    if (notesOf(p).filter(({ note }) => note.kind === 'pitched').length < 3) return [];
    if (chords !== true && !isLine(p)) return [];
    return [i];
  });
  const count = new Map<string, number>();
  for (const i of fits) {
    const of = neckOf(phrases[i]!);
    count.set(of, (count.get(of) ?? 0) + 1);
  }
  const [usual] = [...count].sort((a, b) => b[1] - a[1])[0] ?? [];
  return fits.filter((i) => neckOf(phrases[i]!) === usual);
}

/** More of its moments than this are chords, strums or dead strokes in what accompanies (*ours*). */
const MOST_CHORDS = 0.25;

/** Whether a phrase is single notes and double stops, with a chord here and there. */
export function isLine(p: Phrase): boolean {
  const { events } = p.voices[0];
  const chords = events.filter(
    (e) => e.strum !== undefined || e.notes.length > 2 || e.notes.every((n) => n.kind === 'dead'),
  );
  return chords.length <= MOST_CHORDS * events.length;
}

/** What must be the same for two phrases to be played on one neck. */
function neckOf({ instrument: i }: Phrase): string {
  return JSON.stringify([i.tuning, i.capo, i.frets, i.clef]);
}

/** Why there is nothing to choose from, for a person. */
export function nothingUsable({ form }: LaidForm): string {
  return `no phrase in ${form.meter.beats}/${form.meter.beatType} of up to ${MOST_BARS} bars without repeats was given, or none that is a line`;
}
