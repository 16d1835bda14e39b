import { NOTE_VALUES } from '../../../core/phrase/note-value';
import { child, childNumber, childrenOf, childText } from '../xml/parse';
import { EPSILON, type Report, type Score, type ScoreNote } from './score';

/** Bars that hold too much or too little, voices that do not fill them, wrong note values. */
export function checkTime(score: Score, report: Report): void {
  checkMeasures(score, report);
  for (const n of score.notes) checkValue(n, report);
  checkOverlap(score, report);
}

function checkMeasures({ measures }: Score, report: Report): void {
  measures.forEach((m, i) => {
    const add = (message: string, fix: string) => report.add(m.element, m.bar, message, fix);
    const { expected, length } = m;
    if (expected !== null && length > expected + EPSILON) {
      add(
        `the bar is overfull: ${quarters(length)} in a time signature of ${quarters(expected)}`,
        'Shorten notes, or check the backups.',
      );
    }
    const mayBeShort = m.implicit || i === measures.length - 1;
    if (expected !== null && length < expected - EPSILON && !mayBeShort) {
      add(
        `the bar is underfull: ${quarters(length)} in a time signature of ${quarters(expected)}`,
        'Fill it with rests, or mark it as implicit.',
      );
    }
    for (const [key, filled] of m.filled) {
      if (Math.abs(filled - length) > EPSILON) {
        const [staff, voice] = key.split(' ');
        add(
          `voice ${voice} on staff ${staff} fills ${quarters(filled)} of a bar of ${quarters(length)}`,
          'Fill it with rests, or correct the backup before it.',
        );
      }
    }
    if (Math.abs(m.cursor - length) > EPSILON) {
      add(
        `the last voice ends ${quarters(length - m.cursor)} before the end of the bar`,
        'Correct the last backup, or fill the voice.',
      );
    }
  });
}

function quarters(n: number): string {
  return `${Math.round(n * 1000) / 1000} quarters`;
}

const VALUE_INDEX = new Map<string, number>(NOTE_VALUES.map((v, i) => [v, i]));

/** The duration must be what type, dots and tuplet say. */
function checkValue(n: ScoreNote, report: Report): void {
  const { element } = n;
  const type = childText(element, 'type');
  const index = type === null ? undefined : VALUE_INDEX.get(type);
  if (n.grace || index === undefined) return;
  const dots = childrenOf(element, 'dot').length;
  const time = child(element, 'time-modification');
  const actual = time === undefined ? 1 : (childNumber(time, 'actual-notes') ?? 1);
  const normal = time === undefined ? 1 : (childNumber(time, 'normal-notes') ?? 1);
  const nominal = ((4 / 2 ** index) * (2 - 1 / 2 ** dots) * normal) / actual;
  if (Math.abs(nominal - n.duration) > EPSILON) {
    report.add(
      element,
      n.bar,
      `the duration of ${quarters(n.duration)} is not that of its ${type} (${quarters(nominal)})`,
      'Correct the duration, or type, dots and time-modification.',
    );
  }
}

/** No two notes of one voice at a time, and none twice on one string. */
function checkOverlap({ notes }: Score, report: Report): void {
  const ends = new Map<string, number>();
  for (const n of notes) {
    if (n.grace || n.chord) continue;
    const key = `${n.staff} ${n.voice}`;
    if (n.onset < (ends.get(key) ?? 0) - EPSILON) {
      report.add(
        n.element,
        n.bar,
        `a note of voice ${n.voice} starts before the one before it has ended`,
        'Correct the backup before it, or put it in another voice.',
      );
    }
    ends.set(key, n.onset + n.duration);
  }
}
