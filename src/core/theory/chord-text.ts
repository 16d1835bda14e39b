import { fail, ok, type Problem, type Result } from '../result';
import { type ChordTone, compareTones, type ToneValue, tone } from './chord-kinds';
import {
  type Chord,
  type ChordShape,
  type ChordSymbol,
  chordOfTones,
  shapeOf,
  tonesOf,
} from './chord-model';
import { type Cursor, readQuality, take } from './chord-read';
import {
  alterSign,
  alterText,
  formatPitchClass,
  type PitchClass,
  parsePitchClass,
  pitchClassSign,
} from './pitch';

const NO_CHORD = /^(?:n\.?\s?\/?c\.?|no chord|none)$/iu;

/** No symbol is longer; what is longer is not looked at. */
export const LONGEST_SYMBOL = 80;

/** Whether the text is the sign for 'no chord' (`N.C.`); that is no `Chord`. */
export function isNoChord(text: string): boolean {
  return NO_CHORD.test(text.trim());
}

const ROOT = /[A-G](?:𝄫|𝄪|♭♭|♯♯|bb|##|x|[♭♯♮b#])?/uy;

/**
 * Reads a chord symbol in any of the spellings in common use (common practice).
 *
 * The root is a capital letter. Where one text has two readings the commoner one is taken: `C+9` is
 * an augmented ninth chord, `C-5` and `C7-9` lower the degree, `C-9` is a minor ninth chord, `CΔ` a
 * major seventh, `Abb5` a power chord on A♭♭ (write `Ab(b5)` otherwise).
 * @returns a Problem with the column of what is not understood.
 */
export function parseChord(text: string): Result<Chord> {
  const tooLong = refuseLong(text);
  if (tooLong !== null) return fail(tooLong);
  const c: Cursor = { text: text.trimEnd(), at: text.length - text.trimStart().length };
  if (isNoChord(text)) {
    return fail({
      message: `'${text.trim()}' means that there is no chord`,
      fix: 'Leave it out where a chord is needed.',
      column: c.at + 1,
    });
  }
  const root = readRoot(c);
  if (root === null) {
    return fail({
      message:
        c.at >= c.text.length ? 'there is no chord symbol' : `'${text.trim()}' has no chord root`,
      fix: 'Begin with a capital letter A to G and, if needed, # or b.',
      column: c.at + 1,
    });
  }
  const quality = readQuality(c, false);
  if (quality.kind === 'problem') return fail(quality.problem);
  const bass = readBass(c);
  if (!bass.ok) return bass;
  return ok(chordOfTones(root, quality.kind === 'alt' ? 'alt' : quality.tones, bass.value));
}

/** A Problem for a text that cannot be a symbol for its sheer length. */
export function refuseLong(text: string): Problem | null {
  if (text.length <= LONGEST_SYMBOL) return null;
  return {
    message: `a chord symbol of ${text.length} characters is too long`,
    fix: `Use at most ${LONGEST_SYMBOL} characters.`,
    column: LONGEST_SYMBOL + 1,
  };
}

function readRoot(c: Cursor): PitchClass | null {
  const m = take(c, ROOT);
  return m === null ? null : parsePitchClass(m[0]);
}

/** Reads `/E` up to the end of the text; null where there is none. */
function readBass(c: Cursor): Result<PitchClass | null> {
  if (c.at >= c.text.length) return ok(null);
  const start = c.at;
  c.at += 1;
  take(c, /\s+/uy);
  const bass = readRoot(c);
  if (bass === null || c.at < c.text.length) {
    return fail({
      message: `'${c.text.slice(start)}' is not a bass note`,
      fix: 'After the slash write one note name, for example C/E.',
      column: start + 1,
    });
  }
  return ok(bass);
}

/** How the quality is written: ASCII for data, signs for the page, or behind a roman numeral. */
export type QualityStyle = 'plain' | 'sign' | 'roman';

/**
 * The one canonical ASCII spelling: `G`, `Gm7b5`, `G7sus4`, `G6/9`, `Gm(maj7)`, `C/E`.
 * Reading it again gives the same chord.
 */
export function formatChord(c: Chord): ChordSymbol {
  const bass = c.bass === null ? '' : `/${formatPitchClass(c.bass)}`;
  return `${formatPitchClass(c.root)}${formatQuality(c, 'plain')}${bass}` as ChordSymbol;
}

/** The symbol typeset for the page, with ♭ ♯ ° ø where the trade sets them: `F♯°7`, `B♭m7`, `Eø7`. */
export function signOfChord(c: Chord): string {
  const bass = c.bass === null ? '' : `/${pitchClassSign(c.bass)}`;
  return `${pitchClassSign(c.root)}${formatQuality(c, 'sign')}${bass}`;
}

/** Numbers that may follow an accidental without 'add' (`b5`, `#11`). */
const BARE: ReadonlySet<ToneValue> = new Set([5, 6, 9, 11, 13]);

/** So many qualities are remembered: a move makes new chords of few qualities and names each. */
const MOST_QUALITIES = 1000;
const qualities = new Map<string, string>();

/** The part of the symbol between root and slash bass; empty for a major triad. */
export function formatQuality(c: Chord, style: QualityStyle = 'plain'): string {
  const name = qualityName(c, style);
  const known = qualities.get(name);
  if (known !== undefined) return known;
  if (qualities.size >= MOST_QUALITIES) qualities.clear();
  const text = qualityText(c, style);
  qualities.set(name, text);
  return text;
}

function qualityName({ kind, degrees }: Chord, style: QualityStyle): string {
  let name = `${style} ${kind}`;
  for (const d of degrees) name += ` ${d.type} ${d.value} ${d.alter}`;
  return name;
}

function qualityText(c: Chord, style: QualityStyle): string {
  if (c.kind === '7alt') return '7alt';
  const s = shapeOf(tonesOf(c));
  const sixNine = s.sixth && s.extras.some((t) => t.value === 9 && t.alter === 0);
  const head = headText(s, sixNine, style);
  const extras = sixNine ? s.extras.filter((t) => t.value !== 9 || t.alter !== 0) : s.extras;
  const natural = (value: ToneValue) => tonesOf(c).some((t) => t.value === value && t.alter === 0);
  const bare = (t: ChordTone) => t.alter !== 0 && BARE.has(t.value) && !natural(t.value);

  const altered = [...s.stack.filter((t) => t.alter !== 0), ...extras.filter(bare)];
  if (!head.saysFifth && s.fifth !== null && s.fifth !== 0) altered.push(tone(5, s.fifth));
  const sign = style === 'sign' ? alterSign : alterText;
  const alterations = altered
    .sort(compareTones)
    .map((t) => `${sign(t.alter)}${t.value}`)
    .join('');
  // 'Cb5' would be a power chord on C♭: behind a letter the alteration stands in brackets.
  const bracketed = alterations !== '' && !/\d$/.test(head.text);
  const adds = extras.filter((t) => !bare(t)).map((t) => addText(t, sign));
  const omits = s.missing.map((v) => `no${v}`);
  return [head.text, bracketed ? `(${alterations})` : alterations, ...adds, ...omits].join('');
}

function addText(t: ChordTone, sign: (alter: ChordTone['alter']) => string): string {
  if (t.value === 7 && t.alter === 0) return 'addmaj7';
  return `add${sign(t.alter)}${t.value}`;
}

/** The quality's name; `saysFifth` where the name already tells that the fifth is altered. */
function headText(
  s: ChordShape,
  sixNine: boolean,
  style: QualityStyle,
): { readonly text: string; readonly saysFifth: boolean } {
  const six = sixNine ? '6/9' : '6';
  const plain = (text: string) => ({ text, saysFifth: false });
  const fifth = (text: string) => ({ text, saysFifth: true });
  switch (s.third) {
    case 'sus4':
    case 'sus2': {
      const seven = s.seventh === null ? (s.sixth ? six : '') : s.seventh === 0 ? 'maj' : '';
      return plain(`${seven}${s.seventh === null ? '' : s.top}${s.third}`);
    }
    case 'minor':
      if (s.fifth === -1) {
        const dim = style === 'plain' ? 'dim' : '°';
        if (s.seventh === null) return fifth(dim);
        if (s.seventh === -2) return fifth(`${dim}7`);
        if (s.seventh === 0) return fifth(`${dim}(maj7)`);
        if (s.top === 7 && style !== 'plain') return fifth('ø7');
      }
      if (s.seventh === null) return plain(s.sixth ? `m${six}` : 'm');
      return plain(s.seventh === 0 ? `m(maj${s.top})` : `m${s.top}`);
    case 'none':
      if (!s.missing.includes(3)) return plain('5');
      return majorText(s, six, style);
    case 'major':
      return majorText(s, six, style);
  }
}

function majorText(s: ChordShape, six: string, style: QualityStyle) {
  if (s.seventh === 0) return { text: `maj${s.top}`, saysFifth: false };
  if (s.seventh === -1) return { text: `${s.top}`, saysFifth: false };
  if (s.fifth === 1) return { text: style === 'plain' ? 'aug' : '+', saysFifth: true };
  return { text: s.sixth ? six : '', saysFifth: false };
}
