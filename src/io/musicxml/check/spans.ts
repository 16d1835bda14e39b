import { child, childrenOf, readNumber, type XmlElement } from '../xml/parse';
import {
  EPSILON,
  notationsOf,
  placeOfNote,
  type Report,
  type Score,
  type ScoreMeasure,
  type ScoreNote,
} from './score';

/** What starts must stop: slurs, slides, ties, hammer-ons, tuplets, beams, dashes, repeats. */
export function checkSpans(score: Score, report: Report): void {
  checkNumbered(score, report);
  checkTies(score, report);
  checkTuplets(score, report);
  checkBeams(score, report);
  checkDashes(score.measures, report);
  checkRepeats(score.measures, report);
}

const NUMBERED = [
  'slur',
  'slide',
  'glissando',
  'hammer-on',
  'pull-off',
  'wavy-line',
  'tuplet',
] as const;

/** Those that lead along one string, and the sign of the change of fret (0: either). */
const ON_ONE_STRING: Readonly<Record<string, 1 | -1 | 0>> = {
  slide: 0,
  'hammer-on': 1,
  'pull-off': -1,
};

interface OpenSpan {
  readonly note: ScoreNote;
  readonly element: XmlElement;
}

function checkNumbered({ notes }: Score, report: Report): void {
  for (const name of NUMBERED) {
    const open = new Map<string, OpenSpan>();
    for (const note of notes) {
      for (const element of notationsOf(note.element).filter((x) => x.name === name)) {
        const number = element.attributes.get('number') ?? '1';
        const type = element.attributes.get('type');
        if (type === 'start') {
          if (open.has(number)) unstopped(name, open.get(number)!, report);
          open.set(number, { note, element });
        } else if (type === 'stop') {
          const start = open.get(number);
          open.delete(number);
          if (start === undefined) {
            report.add(
              element,
              note.bar,
              `a ${name} stops that did not start`,
              `Write its start with the same number (${number}) before it.`,
            );
          } else checkEnds(name, start, note, report);
        }
      }
    }
    for (const start of open.values()) unstopped(name, start, report);
  }
}

function unstopped(name: string, { element, note }: OpenSpan, report: Report): void {
  report.add(
    element,
    note.bar,
    `a ${name} starts that does not stop`,
    'Write its stop with the same number at the note where it ends.',
  );
}

function checkEnds(name: string, start: OpenSpan, stop: ScoreNote, report: Report): void {
  const sign = ON_ONE_STRING[name];
  const from = placeOfNote(start.note.element);
  const to = placeOfNote(stop.element);
  if (start.note.staff !== stop.staff) {
    report.add(
      stop.element,
      stop.bar,
      `a ${name} starts on staff ${start.note.staff} and stops on staff ${stop.staff}`,
      'Give the two staves different numbers.',
    );
  }
  if (sign === undefined || from.string === null || to.string === null) return;
  if (from.string !== to.string) {
    report.add(
      stop.element,
      stop.bar,
      `a ${name} goes from string ${from.string} to string ${to.string}`,
      'Keep it on one string.',
    );
  } else if (sign !== 0 && Math.sign(to.fret! - from.fret!) !== sign) {
    report.add(
      stop.element,
      stop.bar,
      `a ${name} goes from fret ${from.fret} to fret ${to.fret}`,
      'Hammer-ons go up, pull-offs down.',
    );
  }
}

/** A tie goes on to the next note of its pitch in its voice, and `tie` agrees with `tied`. */
function checkTies({ notes }: Score, report: Report): void {
  // A unison on two strings has two ties of one pitch.
  const open = new Map<string, ScoreNote[]>();
  const missing = (note: ScoreNote, what: string) =>
    report.add(
      note.element,
      note.bar,
      `a tie ${what}`,
      'Tie two notes of one pitch that follow one another in one voice.',
    );
  for (const note of notes) {
    const types = (name: string, e: readonly XmlElement[]) =>
      e.filter((x) => x.name === name).map((x) => x.attributes.get('type'));
    const sound = types('tie', note.element.children);
    const drawn = types('tied', notationsOf(note.element)).filter((t) => t !== 'let-ring');
    if ([...sound].sort().join() !== [...drawn].sort().join()) {
      missing(note, 'is drawn and not played, or played and not drawn');
    }
    const key = `${note.staff} ${note.voice} ${note.written}`;
    const waiting = open.get(key) ?? [];
    if (sound.includes('stop')) {
      const from = waiting.findIndex((w) => Math.abs(endOf(w) - note.onset) <= EPSILON);
      if (from < 0) missing(note, 'stops that did not start');
      else waiting.splice(from, 1);
    }
    if (sound.includes('start')) open.set(key, [...waiting, note]);
  }
  for (const note of [...open.values()].flat()) missing(note, 'starts that does not stop');
}

function endOf(note: ScoreNote): number {
  return note.onset + note.duration;
}

/** Notes with a tuplet's ratio lie between its start and stop, the others outside. */
function checkTuplets({ notes }: Score, report: Report): void {
  const open = new Map<string, number>();
  for (const note of notes) {
    if (note.grace || note.chord) continue;
    const key = `${note.staff} ${note.voice}`;
    const tuplets = notationsOf(note.element).filter((x) => x.name === 'tuplet');
    const count = (type: string) => tuplets.filter((x) => x.attributes.get('type') === type).length;
    const inside = (open.get(key) ?? 0) + count('start');
    const modified = child(note.element, 'time-modification') !== undefined;
    if (modified !== inside > 0) {
      report.add(
        note.element,
        note.bar,
        modified
          ? 'a note has the ratio of a tuplet but lies in none'
          : 'a note in a tuplet lacks its ratio',
        'Write <tuplet> at the first and last note and <time-modification> on each.',
      );
    }
    open.set(key, inside - count('stop'));
  }
}

function checkBeams({ notes }: Score, report: Report): void {
  const open = new Map<string, ScoreNote>();
  for (const note of notes) {
    for (const beam of childrenOf(note.element, 'beam')) {
      const key = `${note.measure} ${note.staff} ${note.voice} ${beam.attributes.get('number') ?? '1'}`;
      const value = beam.text.trim();
      const isOpen = open.has(key);
      if (value.endsWith('hook')) continue;
      if ((value === 'begin') === isOpen) {
        report.add(
          beam,
          note.bar,
          value === 'begin' ? 'a beam begins inside another' : `a beam has no begin (${value})`,
          'Write begin, continue and end in this order inside one bar.',
        );
      }
      if (value === 'end') open.delete(key);
      else open.set(key, note);
    }
  }
  for (const note of open.values()) {
    report.add(note.element, note.bar, 'a beam does not end', 'End it inside its bar.');
  }
}

function checkDashes(measures: readonly ScoreMeasure[], report: Report): void {
  const open = new Map<string, { readonly element: XmlElement; readonly bar: string }>();
  for (const { element, bar } of measures) {
    const types = childrenOf(element, 'direction').flatMap((d) => childrenOf(d, 'direction-type'));
    for (const dashes of types.flatMap((t) => childrenOf(t, 'dashes'))) {
      const number = dashes.attributes.get('number') ?? '1';
      if (dashes.attributes.get('type') === 'start') open.set(number, { element: dashes, bar });
      else if (!open.delete(number)) {
        report.add(dashes, bar, 'dashes stop that did not start', 'Write their start before them.');
      }
    }
  }
  for (const { element, bar } of open.values()) {
    report.add(element, bar, 'dashes start that do not stop', 'Write their stop.');
  }
}

/** Forward repeats are closed, endings start and stop under the same number. */
function checkRepeats(measures: readonly ScoreMeasure[], report: Report): void {
  let forward: { readonly element: XmlElement; readonly bar: string } | null = null;
  let ending: { readonly element: XmlElement; readonly bar: string } | null = null;
  for (const { element, bar } of measures) {
    for (const x of childrenOf(element, 'barline').flatMap((b) => b.children)) {
      const here = { element: x, bar };
      if (x.name === 'repeat') {
        if (x.attributes.get('direction') === 'backward') {
          forward = null;
          const times = readNumber(x.attributes.get('times') ?? '2');
          if (times === null || times < 2) {
            report.add(x, bar, 'a repeat is played fewer than two times', 'Correct its times.');
          }
        } else {
          if (forward !== null) unclosed('a repeat', forward, report);
          forward = here;
        }
      } else if (x.name === 'ending') {
        if (x.attributes.get('type') === 'start') {
          if (ending !== null) unclosed('an ending', ending, report);
          ending = here;
        } else {
          const number = x.attributes.get('number');
          if (ending === null || ending.element.attributes.get('number') !== number) {
            report.add(x, bar, 'an ending stops that did not start', 'Write its start.');
          }
          ending = null;
        }
      }
    }
  }
  if (forward !== null) unclosed('a repeat', forward, report);
  if (ending !== null) unclosed('an ending', ending, report);
}

function unclosed(
  name: 'a repeat' | 'an ending',
  { element, bar }: { readonly element: XmlElement; readonly bar: string },
  report: Report,
): void {
  report.add(element, bar, `${name} starts that does not end`, 'Write where it ends.');
}
