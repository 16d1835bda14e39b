import type { LaidForm } from '../form/lay';
import type { Meter, Phrase, Tempo, Ticks } from '../phrase/types';
import { secondsPerTick } from '../sound/perform';
import { phrasePins } from './pins';
import type { SoloOptions } from './types';

/** Longer phrases are solos themselves. */
export const MOST_BARS = 4;

/** Fewer are no phrase. */
const FEWEST_NOTES = 3;

/** What of a phrase is looked at for every form; found once. */
interface Traits {
  readonly meter: Meter;
  readonly sameMeter: boolean;
  readonly repeats: boolean;
  readonly pitched: number;
  readonly line: boolean;
  readonly neck: string;
  /** Ticks a note in its quickest run; infinite where it has none. */
  readonly run: Ticks;
}

const known = new WeakMap<Phrase, Traits>();

function traitsOf(p: Phrase): Traits {
  const found = known.get(p);
  if (found !== undefined) return found;
  const { meter } = p.bars[0]!;
  const traits = {
    meter,
    sameMeter: p.bars.every((b) => isSame(b.meter, meter)),
    repeats: p.bars.some((b) => b.repeatStart || b.repeatEnd !== undefined || b.ending),
    pitched: pitchedIn(p),
    line: isLine(p),
    neck: nameOf(p.instrument),
    run: quickestRun(p),
  };
  known.set(p, traits);
  return traits;
}

const isSame = (a: Meter, b: Meter) => a.beats === b.beats && a.beatType === b.beatType;

/** So many notes one after the other are a run: a beat of sixteenths, and where it leads. */
const RUN = 5;

function quickestRun({ voices: [{ events }] }: Phrase): Ticks {
  let least = Number.POSITIVE_INFINITY;
  for (let i = RUN - 1; i < events.length; i++) {
    const ticks = events[i]!.onset - events[i - RUN + 1]!.onset;
    least = Math.min(least, ticks / (RUN - 1));
  }
  return least;
}

/** Quicker runs than ten notes a second, sixteenths at 150, are proposed only to who wrote them so (*ours*). */
const QUICKEST = 0.1;

/** Whether a run would be too quick at a tempo, and is quicker there than it was written. */
export function isTooQuick(p: Phrase, tempo: Tempo): boolean {
  const { run } = traitsOf(p);
  const seconds = run * secondsPerTick(tempo);
  return seconds < QUICKEST && seconds < run * secondsPerTick(p.tempo);
}

/** Asked once of every phrase in the library, so made by hand. */
function nameOf({ tuning, capo, frets, clef }: Phrase['instrument']): string {
  let name = `${capo} ${frets} ${clef}`;
  for (const { letter, alter, octave } of tuning) name += ` ${letter} ${alter} ${octave}`;
  return name;
}

function pitchedIn(p: Phrase): number {
  let n = 0;
  for (const { events } of p.voices) {
    for (const { notes } of events) for (const { kind } of notes) if (kind === 'pitched') n++;
  }
  return n;
}

/**
 * Which phrases can stand in a solo over a form: in its metre, up to four bars without repeats, no
 * faster than can be played, with a line of three notes at least (chords where they are asked for), for the
 * instrument of what is pinned, else for the one that most of them are for.
 * @returns Their places in the list.
 */
export function usablePhrases(
  phrases: readonly Phrase[],
  form: LaidForm,
  options: SoloOptions,
): readonly number[] {
  const { level, chords } = options;
  const fits = phrases.flatMap((p, i) => {
    if (p.bars.length > Math.min(MOST_BARS, form.bars.length)) return [];
    if (whyNotInForm(p, form) !== null || isTooQuick(p, form.form.tempo)) return [];
    if (level !== undefined && p.meta.level !== undefined && p.meta.level > level) return [];
    if (traitsOf(p).pitched < FEWEST_NOTES) return [];
    if (chords !== true && !traitsOf(p).line) return [];
    return [i];
  });
  const [pin] = phrasePins(options);
  const neck = pin === undefined ? usualNeck(phrases, fits) : neckOf(phrases[pin.index]!);
  return fits.filter((i) => neckOf(phrases[i]!) === neck);
}

function usualNeck(phrases: readonly Phrase[], fits: readonly number[]): string | undefined {
  const count = new Map<string, number>();
  for (const i of fits) {
    const of = neckOf(phrases[i]!);
    count.set(of, (count.get(of) ?? 0) + 1);
  }
  const [usual] = [...count].sort((a, b) => b[1] - a[1])[0] ?? [];
  return usual;
}

/** Why a phrase can stand nowhere in a form, as part of a sentence; null where it can. */
export function whyNotInForm(p: Phrase, { form }: LaidForm): string | null {
  const traits = traitsOf(p);
  if (!traits.sameMeter) return 'it changes its metre';
  if (!isSame(traits.meter, form.meter)) {
    return `it is in ${inWords(traits.meter)} and the form in ${inWords(form.meter)}`;
  }
  if (traits.repeats) return 'it has repeats';
  return traits.pitched === 0 ? 'it has no notes with pitch' : null;
}

const inWords = ({ beats, beatType }: Meter) => `${beats}/${beatType}`;

/** More of its moments than this are chords, strums or dead strokes in what accompanies (*ours*). */
const MOST_CHORDS = 0.25;

/** Whether a phrase is single notes and double stops, with a chord here and there. */
export function isLine(p: Phrase): boolean {
  const { events } = p.voices[0];
  let chords = 0;
  for (const e of events) {
    if (e.strum !== undefined || e.notes.length > 2 || e.notes.every((n) => n.kind === 'dead')) {
      chords++;
    }
  }
  return chords <= MOST_CHORDS * events.length;
}

/** What must be the same for two phrases to be played on one neck. */
export function neckOf(p: Phrase): string {
  return traitsOf(p).neck;
}

/** Why there is nothing to choose from, for a person. */
export function nothingUsable({ form, bars }: LaidForm, level?: number): string {
  const most = Math.min(MOST_BARS, bars.length);
  const room = most === 1 ? 'one bar' : `up to ${most} bars`;
  const easy = level === undefined ? '' : ` and of level ${level} at most`;
  return `no phrase in ${form.meter.beats}/${form.meter.beatType} of ${room} without repeats${easy} was given, or none that is a line and not too quick at this tempo`;
}
