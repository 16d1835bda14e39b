import { child, childNumber, type XmlElement } from '../xml/parse';
import {
  EPSILON,
  notationsOf,
  placeOfNote,
  type Report,
  type Score,
  type ScoreNote,
} from './score';

/** Frets that do not sound their pitch, staves that contradict each other, impossible bends. */
export function checkPlaces(score: Score, report: Report): void {
  for (const n of score.notes) {
    if (n.rest) continue;
    checkFret(n, report);
    checkBends(n, report);
  }
  checkStrings(score, report);
  checkStaves(score, report);
}

function checkFret(n: ScoreNote, report: Report): void {
  const { element, attributes } = n;
  const add = (message: string, fix: string) => report.add(element, n.bar, message, fix);
  const { string, fret } = placeOfNote(element);
  if (string === null || fret === null) {
    if (attributes.clef === 'TAB' || string !== null || fret !== null) {
      add('a note on tab lacks its string or fret', 'Write both, on tied notes too.');
    }
    return;
  }
  const { tuning, capo } = attributes;
  if (tuning.length === 0) return;
  // Lines of the staff count from the bottom, strings from the top.
  const open = tuning[tuning.length - string];
  if (open === undefined) {
    add(`there is no string ${string} on ${tuning.length} lines`, 'Correct the string.');
    return;
  }
  if (n.written === null) return;
  const sounding = n.written + attributes.transpose;
  const above = sounding - (open + capo);
  const harmonic = notationsOf(element).find((x) => x.name === 'harmonic');
  const isTouched =
    harmonic !== undefined &&
    child(harmonic, 'natural') !== undefined &&
    child(harmonic, 'sounding-pitch') !== undefined;
  if (isTouched) {
    if (![12, 19, 24].includes(above)) {
      add(
        `a natural harmonic ${above} semitones above its open string is not in use`,
        'Write the pitch that sounds: 12, 19 or 24 semitones above.',
      );
    }
  } else if (above !== fret) {
    add(
      `fret ${fret} on string ${string} sounds ${above > fret ? 'lower' : 'higher'} than the pitch, which is at fret ${above}`,
      'Correct the fret or the pitch.',
    );
  }
}

/** A release comes after a bend and goes down; a pre-bend is written downwards too. */
function checkBends(n: ScoreNote, report: Report): void {
  let bent = false;
  for (const b of notationsOf(n.element).filter((x) => x.name === 'bend')) {
    const alter = childNumber(b, 'bend-alter') ?? 0;
    const isRelease = child(b, 'release') !== undefined;
    const isDown = isRelease || child(b, 'pre-bend') !== undefined || isBar(b);
    if (isRelease && !bent) {
      report.add(b, n.bar, 'a release has no bend before it', 'Write the bend first.');
    }
    if (isDown ? alter >= 0 : alter <= 0) {
      report.add(
        b,
        n.bar,
        `a ${isRelease ? 'release' : isDown ? 'pre-bend or dip' : 'bend'} of ${alter} semitones has the wrong sign`,
        'Bends are positive; releases, pre-bends and dips negative.',
      );
    }
    if (!isBar(b)) bent = !isRelease;
  }
}

function isBar(bend: XmlElement): boolean {
  return child(bend, 'with-bar') !== undefined;
}

/** One note a string at a time (N3). */
function checkStrings({ notes }: Score, report: Report): void {
  const ends = new Map<string, number>();
  for (const n of [...notes].sort((a, b) => a.onset - b.onset)) {
    const { string } = placeOfNote(n.element);
    if (string === null || n.grace) continue;
    const key = `${n.staff} ${string}`;
    if (n.onset < (ends.get(key) ?? 0) - EPSILON) {
      report.add(
        n.element,
        n.bar,
        `string ${string} is struck while its note before still sounds`,
        'Move one of the two notes to another string, or shorten the first.',
      );
    }
    ends.set(key, n.onset + n.duration);
  }
}

/** Where a tab staff repeats a notation staff, both hold the same notes at the same time. */
function checkStaves({ notes }: Score, report: Report): void {
  const staves = new Map<number, boolean>();
  for (const n of notes) staves.set(n.staff, n.attributes.clef === 'TAB');
  const tab = [...staves].find(([, isTab]) => isTab)?.[0];
  const other = [...staves].find(([, isTab]) => !isTab)?.[0];
  if (staves.size !== 2 || tab === undefined || other === undefined) return;
  const listOf = (staff: number) => {
    const list = new Map<string, ScoreNote>();
    for (const n of notes) {
      if (n.staff !== staff || n.rest) continue;
      const where = `${Math.round(n.onset * 1e5)} ${n.grace} ${Math.round(n.duration * 1e5)}`;
      let key = `${where} ${n.written}`;
      while (list.has(key)) key += ' again';
      list.set(key, n);
    }
    return list;
  };
  const onTab = listOf(tab);
  const onOther = listOf(other);
  const compare = (a: ReadonlyMap<string, ScoreNote>, b: ReadonlyMap<string, ScoreNote>) => {
    for (const [key, n] of a) {
      if (b.has(key)) continue;
      report.add(
        n.element,
        n.bar,
        `a note on staff ${n.staff} is not on the other staff with the same pitch and length`,
        'Write every note on both staves.',
      );
    }
  };
  compare(onTab, onOther);
  compare(onOther, onTab);
}
