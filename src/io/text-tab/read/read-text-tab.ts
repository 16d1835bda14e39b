import { fail, ok, type Problem, type Result } from '../../../core/result';
import { parseChord } from '../../../core/theory/chord';
import { type Key, parseKey } from '../../../core/theory/key';
import { PLAIN_DEFAULTS, type QuickDefaults, type QuickOrigin } from '../../quick/read-head';
import { columnsOf } from '../../text/char-width';
import { firstStringsOnTop, instrumentOf } from './instrument';
import { blocksOf, plainLines, type TabBlock, tabLine } from './lines';
import { readOwnHeader } from './own-header';
import { OwnTabReader } from './own-reader';
import { readOwnRows } from './own-rows';
import { type ReadTab, TabReader } from './tab-reader';

/** Texts longer than this are no phrase that somebody posted. */
const LONGEST = 400_000;

/** The row of note values that stands over the strings of our own text and of no other. */
const OWN_ROW = /^\s*(?:value|upper) +(?:\d{1,2}(?::\d{1,2})?\[)?\+?r?(?:rest|[whqest]|64|128)\b/u;

/**
 * Reads plain tablature as people have written it in letters and posts for decades: a line of dashes
 * a string, the first string on top, frets on them, `|` for bar lines. Pitches follow from tuning and
 * fret; lengths are guessed from the spacing, and every event says so (`guessed`). A text of our own says
 * them, and its title, key, tempo, feel and instrument.
 * @returns a phrase that can be stored; or line and column of what cannot be read.
 */
export function readTextTab(
  text: string,
  origin: QuickOrigin,
  defaults: QuickDefaults = PLAIN_DEFAULTS,
): Result<ReadTab> {
  if (text.length > LONGEST) {
    return fail({
      message: `the text has more than ${LONGEST} characters`,
      fix: 'Paste a part of it.',
    });
  }
  const lines = plainLines(text);
  // Titles keep their dashes.
  const written = text.split(/\r\n?|\n/u);
  const blocks = firstStringsOnTop(blocksOf(lines));
  const first = blocks[0];
  if (first === undefined) {
    const few = fewLines(lines);
    if (few !== null) return fail(few);
    return fail({
      message: 'there are no lines of tablature',
      fix: 'Paste at least four lines of dashes with frets on them, one a string.',
      line: 1,
      column: 1,
    });
  }
  const odd = blocks.find((b) => b.lines.length !== first.lines.length);
  if (odd !== undefined) {
    return fail({
      message: `these are ${odd.lines.length} lines, and the first block has ${first.lines.length}`,
      fix: 'Every block needs one line a string; part blocks by an empty line.',
      line: odd.lines[0]!.line,
      column: 1,
    });
  }
  const wideVibrato = lines.some((l) => /~~(?!~)\s*(?:=\s*)?wide/iu.test(l));
  if (lines.some((l) => OWN_ROW.test(l)))
    return readOwn(blocks, { lines, written }, origin, defaults, wideVibrato);
  const instrument = instrumentOf(first, lines, defaults.instrument);
  if (!instrument.ok) return instrument;
  const says = { wideVibrato, own: false, title: titleOver(first, written) };
  const key = keyOver(first) ?? defaults.key;
  return new TabReader(blocks, instrument.value, origin, { ...defaults, key }, says).read();
}

/** A line that is clearly a key: `Key: Am`, `Key of G`; of a title like 'A Train Home' nothing is known. */
const KEY_LINE =
  /^\s*key(?:\s+of|\s*[:=])\s*([A-G][#b\u266f\u266d]?)\s*(m|min|minor|maj|major)?\s*$/iu;

function keyOver(first: TabBlock): Key | null {
  for (const { text } of first.above) {
    const [, tonic, mode] = KEY_LINE.exec(text) ?? [];
    if (tonic === undefined) continue;
    const sign = tonic.slice(1).toLowerCase().replace('\u266f', '#').replace('\u266d', 'b');
    // A capital M alone is major (common practice).
    const isMinor = mode !== undefined && mode !== 'M' && !/^maj/iu.test(mode);
    return parseKey(`${tonic[0]!.toUpperCase()}${sign} ${isMinor ? 'minor' : 'major'}`);
  }
  return null;
}

/** Reads a text of our own by its rows, or by its spacing where they do not add up. */
function readOwn(
  blocks: readonly TabBlock[],
  { lines, written }: { readonly lines: readonly string[]; readonly written: readonly string[] },
  origin: QuickOrigin,
  defaults: QuickDefaults,
  wideVibrato: boolean,
): Result<ReadTab> {
  const first = blocks[0]!;
  const widest = written.reduce((most, l) => Math.max(most, columnsOf(l.trimEnd())), 0);
  const header = readOwnHeader(written.slice(0, first.lines[0]!.line - 1), widest);
  const told = header.instrument?.tuning.length === first.lines.length ? header.instrument : null;
  const instrument = told === null ? instrumentOf(first, lines, defaults.instrument) : ok(told);
  if (!instrument.ok) return instrument;
  const known = { ...defaults, ...header.says };
  const says = { wideVibrato, own: true, title: header.title };
  const rows = readOwnRows(blocks, lines);
  const exact =
    rows === null
      ? null
      : new OwnTabReader(blocks, instrument.value, origin, known, says).readOwn(rows);
  if (exact?.ok) return exact;
  // Cut off behind a first ending, say: what cannot stand as it says itself is still tablature.
  const plain = new TabReader(blocks, instrument.value, origin, known, says).read();
  return plain.ok || exact === null ? plain : exact;
}

/** A line that tells how to play, where the music stands or what it is written in, and is no title. */
const TELLS: readonly RegExp[] = [
  /\b(?:capo|tun(?:ing|ed)|tempo|bpm|tabbed|standard|chords|drop(?:ped)?[- ]?[A-G]|key of|let ring|palm[- ]?mut)/iu,
  /[|=<]|-{3}|https?:|:\s*$|^\s*[[(].*[\])]?$|\bP\.?M\.|^\s*w\//iu,
  /^\s*(?:by\b|(?:key|time|feel|artist|author|composer|music|words|transcribed|date|from|level|difficulty)\b[^:]{0,12}:)/iu,
  /^\s*(?:\d+\/\d+ time\b|time signature\b|played? \d+ times\b|\S{1,2}\s+(?:hammer|pull|slide|bend|release|vibrato|tap)\b)/iu,
];
/** What may stand before a title. */
const NAMED = /^\s*(?:title|song)\s*:\s*(?=\S)/iu;
const LONGEST_TITLE = 120;

/** The first line of words over pasted tablature, where it can be a title; else empty. */
function titleOver(first: TabBlock, written: readonly string[]): string {
  const above = first.above.find(
    ({ text }) => /\p{L}{3}/u.test(text) && !/^\s*<[^>]*>$/u.test(text) && !KEY_LINE.test(text),
  );
  const line = (written[(above?.line ?? 0) - 1] ?? '').replace(NAMED, '').trim();
  const words = line.split(/\s+/u);
  if (line.length > LONGEST_TITLE || TELLS.some((t) => t.test(line))) return '';
  return words.every((w) => parseChord(w).ok) ? '' : line;
}

/** Whether a text has lines of tablature at all, too few of them included. */
export function looksLikeTab(text: string): boolean {
  if (text.length > LONGEST) return false;
  const lines = plainLines(text);
  return blocksOf(lines).length > 0 || fewLines(lines) !== null;
}

/** A text that is nothing but strings of a tablature, but fewer than an instrument has. */
function fewLines(lines: readonly string[]): Problem | null {
  const own = lines.flatMap((text, i) => (text.trim() === '' ? [] : [tabLine(text, i + 1)]));
  const first = own[0];
  if (first === undefined || first === null || own.length > 3 || own.includes(null)) return null;
  return {
    message:
      own.length === 1
        ? 'this is one line of tablature'
        : `these are ${own.length} lines of tablature`,
    fix: 'Write a line for every string of the instrument, the first string on top, with dashes where nothing is played.',
    line: first.line,
    column: 1,
  };
}
