import { LEVEL_WORDS } from '../../core/library/level-and-feel';
import { barSpans } from '../../core/phrase/time';
import type { ChordSymbol, Key, Phrase, Tempo } from '../../core/phrase/types';
import type { Problem } from '../../core/result';
import { formatProblem } from '../../core/result';
import type { Pitch, PitchClass } from '../../core/theory/pitch';
import { TYPESET } from '../../io/text/signs';

export { feelName } from '../../core/library/level-and-feel';

/** Typeset names for the screen: `E♭`, `♭7`, `F♯m7`. */
export const chordName = (s: ChordSymbol | null): string =>
  s === null ? 'N.C.' : TYPESET.chord(s);
export const degreeName = TYPESET.degree;

/** Name without octave; the string and fret beside it say which one it is. */
export function noteName(p: PitchClass | Pitch): string {
  return TYPESET.pitch({ letter: p.letter, alter: p.alter, octave: 0 }).slice(0, -1);
}

/** `B♭ blues`, `C major`. */
export function keyName(k: Key): string {
  return `${noteName(k.tonic)} ${k.mode}`;
}

const UNITS: Readonly<Record<Tempo['unit'], string>> = {
  eighth: 'eighth',
  quarter: 'quarter',
  'dotted-quarter': 'dotted quarter',
  half: 'half',
};

/** `quarter = 92`. */
export function tempoName(t: Tempo): string {
  return `${UNITS[t.unit]} = ${t.bpm}`;
}

/** `4/4`, or `4/4, 3/4` where it changes; each once, in the order of the bars. */
export function meterName(p: Pick<Phrase, 'bars'>): string {
  return [...new Set(p.bars.map((b) => `${b.meter.beats}/${b.meter.beatType}`))].join(', ');
}

/** The chord lane as a line to read: `G7 | C7 G7`; a bar in which nothing changes repeats its chord. */
export function laneName(p: Phrase): string {
  if (p.chords.length === 0) return 'no chords';
  let sounding: ChordSymbol | null = p.chords[0]!.symbol;
  const bars = barSpans(p)
    .filter((s) => s.number > 0)
    .map((s) => {
      const inside = p.chords.filter((c) => c.onset > s.start && c.onset < s.end);
      for (const c of p.chords) if (c.onset <= s.start) sounding = c.symbol;
      const names = [sounding, ...inside.map((c) => c.symbol)].map(chordName);
      sounding = inside.at(-1)?.symbol ?? sounding;
      return names.join(' ');
    });
  return bars.every((b) => b === bars[0]) ? bars[0]! : bars.join(' | ');
}

/** `2, easy`. */
export function levelName(level: 1 | 2 | 3 | 4 | 5): string {
  return `${level}, ${LEVEL_WORDS[level - 1]}`;
}

/** A beat as it is said: at most two decimals. */
export function beatName(beat: number): string {
  return String(Math.round(beat * 100) / 100);
}

/** `pickup` for bar 0, `bar 3`. */
export function barName(bar: number): string {
  return bar === 0 ? 'pickup' : `bar ${bar}`;
}

/** `1 phrase`, `3 phrases`. */
export function count(n: number, one: string, many = `${one}s`): string {
  return `${n} ${n === 1 ? one : many}`;
}

/** On the button that chooses all there are, of one, two or more; `what`: where they are. */
export function chooseAll(n: number, what: string): string {
  if (n === 1) return `Choose the one ${what}`;
  return n === 2 ? `Choose both ${what}` : `Choose all ${n} ${what}`;
}

/** On the same button when that is so. */
export function areChosen(n: number, what: string): string {
  if (n === 1) return `The one ${what} is chosen`;
  return n === 2 ? `Both ${what} are chosen` : `All ${n} ${what} are chosen`;
}

/** A problem as a sentence of its own: place, what is wrong, what to do. */
export function problemText(p: Problem): string {
  return capital(formatProblem(p));
}

/** With a capital letter, as a sentence begins. */
export function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

const DAY = new Intl.DateTimeFormat('en-GB', { dateStyle: 'long', timeZone: 'UTC' });

/** `27 November 2026`, of a calendar day: 2026-11-27. */
export function dayName(day: string): string {
  return DAY.format(new Date(`${day}T00:00:00Z`));
}
