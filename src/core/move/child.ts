import { KINDS } from '../phrase/instruments';
import { onsetOf, type Position } from '../phrase/time';
import { placeWords } from '../phrase/time-words';
import type { Phrase } from '../phrase/types';
import { chordOf } from '../theory/chord';
import type { Key } from '../theory/key';
import { formatPitch, pitchClassSign } from '../theory/pitch';
import { romanSign } from '../theory/roman';
import { nameOfPitch } from './naming';
import type { Destination } from './request';

/** What makes a phrase a new one beside its parent. */
export interface Birth {
  readonly id: string;
  /** ISO 8601. */
  readonly now: string;
  readonly title: string;
}

/** A result as a phrase of its own that knows where it comes from. */
export function childOf(parent: Phrase, result: Phrase, { id, now, title }: Birth): Phrase {
  const notes = notesOf(parent, result);
  return {
    ...result,
    id,
    parent: parent.id,
    meta: {
      ...result.meta,
      title: title.trim(),
      created: now,
      modified: now,
      ...(notes === undefined ? {} : { notes }),
    },
  };
}

/**
 * Notes for students that quote chords or degrees speak of the parent's: over other chords or in
 * another key they say so, once.
 */
function notesOf(parent: Phrase, result: Phrase): string | undefined {
  const { notes } = parent.meta;
  if (notes === undefined || notes.startsWith(WRITTEN_FOR) || !QUOTES.test(notes)) return notes;
  const same = (p: Phrase) => JSON.stringify([p.key, p.chords.map((c) => c.symbol)]);
  if (same(parent) === same(result)) return notes;
  return `${WRITTEN_FOR} “${parent.meta.title}” in ${keyInTitle(parent.key)}: ${notes}`;
}

const WRITTEN_FOR = 'Written for';

/** A chord symbol, a numeral with or without its seventh, or a degree with its accidental. */
const QUOTES =
  /(?<![\p{L}\d])(?:[A-G][#b♯♭]?(?:maj|min|m|dim|aug|sus|add|ø|°|\d)[\w#b♯♭()]*|[#b♯♭]*(?:VII|VI|IV|V|III|II|I|vii|vi|iv|iii|ii)(?:m|maj|ø|°)?\d*|[#b♯♭𝄫]+[2-7]|[A-G][#b♯♭]|R|the (?:root|third|fifth|sixth|seventh)|[2-7](?=\s*(?:of|→)))(?![\p{L}])/u;

/**
 * What a moved phrase is called: `Third Rung over IV7 in F`. A child's child says what it is now and
 * not the way there.
 * @param to The moves that led from the parent to it.
 */
export function childTitle(parent: Phrase, child: Phrase, to: readonly Destination[]): string {
  const { base, over, octaves, beat, on } = readTitle(parent);
  const kinds = new Set(to.map((d) => d.kind));
  const chords = kinds.has('chord') || kinds.has('lane');
  const up = octaves + to.reduce((n, d) => n + (d.kind === 'octaves' ? d.octaves : 0), 0);
  const steps = to.reduce((n, d) => n + (d.kind === 'steps' ? d.steps : 0), 0);
  const last = to.flatMap((d) => (d.kind === 'beat' ? [d.at] : [])).at(-1);
  const where = last === undefined ? beat : whereInTitle(child, last);
  const placed = chords || over !== '' || kinds.has('key');
  return [
    base,
    chords || over !== '' ? ` over ${chordsInTitle(child)}` : '',
    placed || inKey(parent) ? ` in ${keyInTitle(child.key)}` : '',
    steps === 0 ? '' : `, ${Math.abs(steps)} ${steps > 0 ? 'up' : 'down'} the scale`,
    up === 0 ? '' : `, ${octavesInTitle(up)}`,
    where === '' ? '' : `, from ${where}`,
    kinds.has('instrument') ? `, on ${instrumentInTitle(child)}` : on,
  ].join('');
}

/**
 * What the same notes at another place of the neck are called: `Third Rung, bars 5 to 8, around fret 7`.
 * Of a child that was named so itself only the last place is told.
 * @param part Which bars went there, in words; empty for the whole phrase.
 * @param place `around fret 7`.
 */
export function placedTitle({ parent, meta }: Phrase, part: string, place: string): string {
  const before = parent === null ? '' : (SUFFIX.exec(meta.title)?.groups?.place ?? '');
  const base = meta.title.slice(0, meta.title.length - before.length);
  return [base, part, place].filter((words) => words !== '').join(', ');
}

const KEY = '[A-G][♯♭𝄪𝄫]{0,2}(?: minor)?';
const OCTAVES = ['an octave', 'two octaves', 'three octaves'];
/** What `chordsInTitle` writes: a title may have an `over` of its own. */
const SIGN = '(?:N\\.C\\.|[#b♯♭𝄪𝄫]*[IViv]+[^ ,]*|[A-G][^ ,]*)';
const SUFFIX = new RegExp(
  `^(?<base>.*?)(?: over (?<over>other chords|${SIGN}(?: ${SIGN})*?))?(?: in (?<key>${KEY}))?(?:, \\d+ (?:up|down) the scale)?(?:, (?<octaves>an octave|two octaves|three octaves) (?<way>up|down))?(?:, from (?<beat>beat [\\d:.]+|(?:pickup|bar \\d+), beat .+?))?(?<on>, on [^,]+)?(?<place>(?:, (?:the pickup(?: to bar \\d+)?|bars? \\d+(?: to \\d+)?))?, around fret \\d+)?$`,
  'u',
);

/** What a child's title says beside its family's name; of a phrase without a parent all is name. */
function readTitle({ parent, meta }: Phrase) {
  const none = { base: meta.title, over: '', octaves: 0, beat: '', on: '' };
  const m = parent === null ? null : SUFFIX.exec(meta.title);
  const g = m?.groups;
  if (g === undefined || g.base === '') return none;
  // `over` counts only where a key follows, as our own titles have it.
  if (g.over !== undefined && g.key === undefined) return none;
  const n = OCTAVES.indexOf(g.octaves ?? '') + 1;
  return {
    base: g.base!,
    over: g.over ?? '',
    octaves: g.way === 'down' ? -n : n,
    beat: g.beat ?? '',
    on: g.on ?? '',
  };
}

/** `bar 2, beat 3 and`. */
function whereInTitle(p: Phrase, at: Position): string {
  const onset = onsetOf(p, at);
  return onset === null ? `beat ${at.bar}:${at.beat}` : placeWords(p, onset);
}

function inKey(p: Phrase): boolean {
  return p.parent !== null && SUFFIX.exec(p.meta.title)?.groups?.key !== undefined;
}

/** Its name, with the open strings from the lowest on where no instrument is tuned so as a rule. */
function instrumentInTitle({ instrument }: Phrase): string {
  const name = instrument.name.replaceAll(',', '').toLowerCase();
  const usual = Object.values(KINDS).some(
    (k) => k.notes === instrument.tuning.map(formatPitch).join(' '),
  );
  const strings = instrument.tuning.map(pitchClassSign).reverse();
  return usual ? name : `${name} in ${strings.join(' ')}`;
}

function octavesInTitle(n: number): string {
  const words = OCTAVES[Math.abs(n) - 1] ?? `${Math.abs(n)} octaves`;
  return `${words} ${n > 0 ? 'up' : 'down'}`;
}

/** Longer lanes are not told in a title. */
const MOST_CHORDS = 4;

/** Over what a phrase lies, as titles say it: `over I7 IV7 in A`; without chords, or of many, `in A`. */
export function whereInKey(p: Phrase): string {
  const few = p.chords.length > 0 && p.chords.length <= MOST_CHORDS;
  return `${few ? `over ${chordsInTitle(p)} ` : ''}in ${keyInTitle(p.key)}`;
}

/** The chords as numerals of the key; more than so many are not counted up. */
function chordsInTitle(p: Phrase): string {
  const signs = p.chords.map((c) =>
    c.symbol === null ? 'N.C.' : romanSign(chordOf(c.symbol), p.key),
  );
  return signs.length > MOST_CHORDS || signs.length === 0 ? 'other chords' : signs.join(' ');
}

function keyInTitle(k: Key): string {
  const tonic = nameOfPitch({ ...k.tonic, octave: 4 });
  return k.mode === 'minor' ? `${tonic} minor` : tonic;
}
