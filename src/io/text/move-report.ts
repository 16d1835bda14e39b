import type { Adaptation, MoveReport, NoteReport, NoteState, Way } from '../../core/move/request';
import { positionOf } from '../../core/phrase/time';
import { beatPlaceOf, placeWords } from '../../core/phrase/time-words';
import type { NoteId, Phrase } from '../../core/phrase/types';
import { formatChord, parseChord } from '../../core/theory/chord';
import { type Degree, sameDegree } from '../../core/theory/degree';
import { columnsOf, wrapText } from './char-width';
import { ASCII, type Signs, TYPESET } from './signs';

/** How a report is set. */
export interface ReportStyle {
  /** Characters in a line. */
  readonly width: number;
  readonly ascii?: boolean;
}

/** Sign behind the frets of notes that the report has more to say about. */
export const CHANGE_MARK = '*';

/**
 * The notes to be marked after a move: those whose degree against the chord did not stay although
 * the way keeps it, those that *hold* altered on request, and all with an adaptation of their own.
 */
export function changedNotes(report: MoveReport): ReadonlyMap<NoteId, string> {
  const changed = report.notes.filter((n) => n.adaptations.length > 0 || breaksPromise(report, n));
  return new Map(changed.map((n) => [n.id, CHANGE_MARK]));
}

function breaksPromise(report: MoveReport, n: NoteReport): boolean {
  switch (report.way) {
    case 'real':
    case 'chord':
      return (
        !sameOrNull(n.before.chordDegree, n.after.chordDegree) ||
        !sameOrNull(n.before.target?.chordDegree ?? null, n.after.target?.chordDegree ?? null)
      );
    case 'hold':
      return n.before.string !== n.after.string || n.before.fret !== n.after.fret;
    case 'tonal':
      return false;
  }
}

function sameOrNull(a: Degree | null, b: Degree | null): boolean {
  return a === null || b === null ? a === b : sameDegree(a, b);
}

/**
 * What could not be kept as it was asked, a line each with the rule's number, for where there is no
 * room for the report.
 * @param before The phrase before the move.
 */
export function lossesOfMove(before: Phrase, report: MoveReport): readonly string[] {
  const lost = (a: Adaptation) => a.fallback;
  return [
    ...report.general.filter(lost).map((a) => `${a.text} (${a.rule})`),
    ...report.notes.flatMap((n) => {
      const place = `${placeWords(before, n.onset)}, string ${n.after.string}`;
      return n.adaptations.filter(lost).map((a) => `${place}: ${a.text} (${a.rule})`);
    }),
    ...report.unplayable.map((u) => `not playable as it stands: ${u}`),
  ];
}

/**
 * The report of a move in plain words (M13): how far each segment went, a line for every note with
 * its old and new pitch, degree, string and fret, what was adapted with the rule's number, what
 * could not be kept, and what is suggested.
 * @param before The phrase before the move.
 */
export function writeMoveReport(before: Phrase, report: MoveReport, style: ReportStyle): string {
  const signs = style.ascii ? ASCII : TYPESET;
  const wrap = (text: string, first: string, rest: string) =>
    indented(text, first, rest, style.width);
  const lines: string[] = [];
  const head = `Report: way ${report.way} (${KEPT[report.way]}), hand by ${report.hand}`;
  lines.push(...wrap(head, '', '  '));
  for (const text of segmentTexts(report, signs)) lines.push(...wrap(text, '  ', '    '));
  for (const a of report.general) lines.push(...wrap(adaptationText(a, signs), '  ', '    '));
  lines.push('', ...noteLines(before, report, signs, style.width));
  if (report.suggestions.length > 0) {
    const rows = new Map(report.notes.map((n) => [n.id, n]));
    lines.push('', 'Suggestions, not applied:');
    for (const s of report.suggestions) {
      const n = rows.get(s.id);
      const place = n === undefined ? '' : `${placeText(before, n)}: `;
      lines.push(...wrap(place + inSigns(s.text, signs), '  ', '    '));
    }
  }
  if (report.unplayable.length > 0) {
    lines.push('', 'Not playable as it stands:');
    for (const u of report.unplayable) lines.push(...wrap(u, '  ', '    '));
  }
  return `${lines.join('\n')}\n`;
}

function indented(text: string, first: string, rest: string, width: number): string[] {
  const room = Math.max(20, width - rest.length);
  return wrapText(text, room).map((l, i) => (i === 0 ? first : rest) + l);
}

/** What each way keeps (M1). */
const KEPT: Readonly<Record<Way, string>> = {
  real: 'every interval kept',
  chord: 'every role kept',
  tonal: 'by steps of the scale',
  hold: 'every pitch kept',
};

/** A line for each segment; equal ones in a row share one. */
function segmentTexts(report: MoveReport, signs: Signs): readonly string[] {
  const rows: { readonly text: string; times: number }[] = [];
  for (const s of report.segments) {
    const text = segmentText(s, signs);
    const last = rows.at(-1);
    if (last?.text === text) last.times++;
    else rows.push({ text, times: 1 });
  }
  return rows.map((r) => (r.times === 1 ? r.text : `${r.text} (${r.times} in a row)`));
}

/** The chord as it is set on the page; `N.C.` and the like stay as they are. */
function chordText(name: string, signs: Signs): string {
  const read = parseChord(name);
  return read.ok ? signs.chord(formatChord(read.value)) : name;
}

function segmentText(s: MoveReport['segments'][number], signs: Signs): string {
  const by = Math.abs(s.semitones);
  const way =
    by === 0
      ? 'at the same pitch'
      : `${s.semitones > 0 ? 'up' : 'down'} ${by} semitone${by === 1 ? '' : 's'}`;
  if (s.from === '' && s.to === '') return `the whole phrase: ${way}`;
  const [from, to] = [chordText(s.from, signs), chordText(s.to, signs)];
  return s.from === s.to ? `${from}: ${way}` : `${from} to ${to}: ${way}`;
}

function adaptationText(a: Adaptation, signs: Signs): string {
  return `${a.fallback ? 'not kept' : 'adapted'} (${a.rule}): ${inSigns(a.text, signs)}`;
}

/** Texts of the core are typeset; a page of plain ASCII has their plain signs. */
function inSigns(text: string, signs: Signs): string {
  return signs.arrow === '→'
    ? text
    : text
        .replaceAll('♭', 'b')
        .replaceAll('♯', '#')
        .replaceAll('→', '>')
        .replaceAll('𝄫', 'bb')
        .replaceAll('𝄪', '##');
}

function placeText(p: Phrase, n: NoteReport): string {
  return `${placeWords(p, n.onset)}, string ${n.after.string}`;
}

/**
 * A table with a line for each note, and what was adapted under it. Beats are in words where the table
 * is no wider than it may be with them, else in numbers.
 */
function noteLines(p: Phrase, report: MoveReport, signs: Signs, width: number): string[] {
  const inWords = tableOf(p, report, signs, (onset) => beatPlaceOf(p, onset));
  const fits = inWords.every((line) => columnsOf(line) <= width);
  const inNumbers = (onset: number) => String(Math.round(positionOf(p, onset).beat * 100) / 100);
  const [head, ...rows] = fits ? inWords : tableOf(p, report, signs, inNumbers);
  return [
    head!,
    ...rows.flatMap((row, i) => [
      row,
      ...report.notes[i]!.adaptations.flatMap((a) =>
        indented(`${CHANGE_MARK} ${adaptationText(a, signs)}`, '     ', '       ', width),
      ),
    ]),
  ];
}

/** The head of the table and a line for each note. */
function tableOf(
  p: Phrase,
  report: MoveReport,
  signs: Signs,
  beatAt: (onset: number) => string,
): readonly string[] {
  const rows = report.notes.map((n) => [
    String(positionOf(p, n.onset).bar),
    beatAt(n.onset),
    handText(n.before),
    pitchText(n.before, signs),
    signs.arrow,
    handText(n.after),
    pitchText(n.after, signs),
  ]);
  const head = ['bar', 'beat', 'string/fret', 'note', '', 'string/fret', 'note'];
  const sizes = head.map((h, i) => Math.max(h.length, ...rows.map((r) => columnsOf(r[i]!))));
  return [head, ...rows].map((cells) =>
    cells
      .map((c, i) => c + ' '.repeat(sizes[i]! - columnsOf(c)))
      .join('  ')
      .trimEnd(),
  );
}

function handText(s: NoteState): string {
  return `${s.string}/${s.fret}`;
}

function pitchText(s: NoteState, signs: Signs): string {
  const one = (pitch: NoteState['pitch'], d: Degree | null) =>
    `${signs.pitch(pitch)}${d === null ? '' : ` ${signs.degree(d)}`}`;
  const start = one(s.pitch, s.chordDegree);
  return s.target === undefined
    ? start
    : `${start} bent to ${one(s.target.pitch, s.target.chordDegree)}`;
}
