import { lineBarsText } from '../../core/lesson/line-bars';
import { lineNotesText } from '../../core/lesson/line-notes';
import { type Sheet, sheetsOf } from '../../core/lesson/sheets';
import type { Carried, LessonItem } from '../../core/lesson/types';
import { barSpans } from '../../core/phrase/time';
import type { NoteId, Phrase } from '../../core/phrase/types';
import type { Result } from '../../core/result';
import { formatChord } from '../../core/theory/chord';
import { type Analysis, analyse } from '../../core/understand/analyse';
import { createEngraver } from '../../engrave/engraver';
import { engraveJoined } from '../../engrave/joined';
import type { EngravedSystem } from '../../engrave/page/system';
import type { DegreeLabel, DegreeLabels } from '../../engrave/text/degrees';
import { TYPESET } from '../../io/text/signs';
import { degreeLabels, degreeText, usualView } from '../degree-labels';
import { escapeXml } from '../svg/escape';
import { PAPER_SIZES, type PaperSize } from './sizes';

/** Width of the music in px: all that is between the margins of A4 (182 mm), which Letter has room for, and on a phone. */
const WIDE = 687;
const NARROW = { width: 340, size: 6.8 };

/** Where the name of a note's degree is left out, to be written in. */
const BLANK: DegreeLabel = { text: '__' };

/** Names the phrases of a page: those of the lesson by their place, and what moves have made. */
export class MusicList {
  readonly moved: Phrase[] = [];

  /**
   * @param plays Whether a script is there that plays; without one, a page shows one width of the music.
   * @param size How large the music is on paper, and on the screens that show as much of it.
   */
  constructor(
    private readonly lesson: Carried,
    readonly plays = true,
    readonly size: PaperSize = 'large',
  ) {}

  /** `p2`, `m0`. */
  nameOf(p: Phrase): string {
    const own = this.lesson.phrases.indexOf(p);
    if (own >= 0) return `p${own}`;
    this.moved.push(p);
    return `m${this.moved.length - 1}`;
  }

  sheets(item: LessonItem): Result<readonly Sheet[]> {
    return sheetsOf(this.lesson, item);
  }
}

/** One sheet of music as HTML: its lines in two widths, its words, and the button that plays it. */
export function sheetHtml(sheet: Sheet, view: 'chord' | 'key' | null, list: MusicList): string {
  const { printed, heard } = sheet;
  const analysis = analyse(printed);
  const degrees = view ?? usualView(analysis);
  const told = degreeLabels(analysis, degrees);
  const labels = sheet.degrees === 'told' ? told : blanks(analysis);
  const title = escapeXml(printed.meta.title);
  const beneath = sheet.comping?.printed === true ? sheet.comping.phrase : null;
  const along = sheet.comping === null ? '' : ` data-with="${list.nameOf(sheet.comping.phrase)}"`;
  const play =
    `<p><button type="button" data-music="${list.nameOf(heard)}"${along} aria-pressed="false">` +
    `<span>Play</span><span class="unseen"> ${title}</span></button></p>`;
  const wide = { width: WIDE, size: PAPER_SIZES[list.size], writtenIn: sheet.writtenIn };
  if (!list.plays) return `<div class="music">${linesHtml(printed, beneath, labels, wide)}</div>`;
  const lines = [
    `<div class="wide">${linesHtml(printed, beneath, labels, wide)}</div>`,
    `<div class="narrow">${linesHtml(printed, beneath, labels, NARROW)}</div>`,
  ].join('');
  const words =
    sheet.degrees === 'told'
      ? `<p class="unseen">${escapeXml(`Degrees: ${degreesInWords(printed, analysis, degrees)}`)}</p>`
      : '';
  return `<div class="music">${play}${lines}${words}</div>`;
}

/** What the notes are, bar by bar: `bar 1, over A7: R ♭3 3; bar 2: 5`. */
export function degreesInWords(p: Phrase, analysis: Analysis, view: 'chord' | 'key'): string {
  const bars = barSpans(p).flatMap((span) => {
    const inside = analysis.readings.filter(
      (r) => r.at.onset >= span.start && r.at.onset < span.end,
    );
    const names = inside.flatMap((r) => degreeText(r, view) ?? []);
    if (names.length === 0) return [];
    const chords = analysis.spans
      .filter((s) => s.onset < span.end && s.end > span.start)
      .map((s) => (s.chord === null ? 'N.C.' : TYPESET.chord(formatChord(s.chord))));
    const over = chords.length === 0 ? '' : `, over ${[...new Set(chords)].join(' and ')}`;
    const bar = span.number === 0 ? 'pickup' : `bar ${span.number}`;
    return [`${bar}${over}: ${names.join(' ')}`];
  });
  return bars.length === 0 ? 'none' : bars.join('; ');
}

function blanks(analysis: Analysis): DegreeLabels {
  return new Map(analysis.readings.map((r): [NoteId, DegreeLabel] => [r.note.id, BLANK]));
}

interface Size {
  readonly width: number;
  readonly size: number;
  /** On paper alone: nobody writes on a phone's screen. */
  readonly writtenIn?: boolean;
}

function linesHtml(
  p: Phrase,
  beneath: Phrase | null,
  degrees: DegreeLabels | null,
  look: Size,
): string {
  const options = { ...look, ...(degrees === null ? {} : { degrees }) };
  const lines =
    beneath === null
      ? createEngraver().engrave(p, options).systems
      : engraveJoined({ phrase: p, options }, { phrase: beneath, options: look, name: 'Comping' });
  const what = beneath === null ? 'notes and tablature' : 'notes and tablature, with comping';
  const told = (id: NoteId) => {
    const label = degrees?.get(id);
    return label === undefined || label === BLANK ? null : label.text;
  };
  return lines.map((s) => lineHtml(p, s, what, told)).join('');
}

/** A line with where its moments are and what their notes are, for the marks on it and for who presses a note. */
function lineHtml(
  p: Phrase,
  s: EngravedSystem,
  what: string,
  told: (id: NoteId) => string | null,
): string {
  const ends = s.hits.bars.map((b) => b.end);
  const at = s.hits.columns
    .map((c) => `${c.onset}:${((100 * c.x) / s.width).toFixed(1)}`)
    .join(' ');
  const bars = s.bars.map((b) => (b === 0 ? 'pickup' : `bar ${b}`));
  const name = bars.length === 1 ? bars[0]! : `${bars[0]!} to ${bars.at(-1)!}`;
  const label = escapeXml(`${p.meta.title}, ${name}: ${what}`);
  const svg = s.svg.replace('<svg ', `<svg role="img" aria-label="${label}" `);
  const where = lineBarsText(
    s.hits.bars.map(({ number, x0, x1 }) => {
      return { number, from: (100 * x0) / s.width, to: (100 * x1) / s.width };
    }),
  );
  const notes = lineNotesText(
    p,
    s.hits.columns.map((c) => c.onset),
    told,
  );
  const places = `data-to="${Math.max(...ends)}" data-at="${at}" data-told="${notes}" data-bars="${where}"`;
  return `<div class="line" ${places}>${svg}</div>`;
}
