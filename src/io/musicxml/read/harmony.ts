import type { ChordChange, ChordSymbol, Key, Ticks } from '../../../core/phrase/types';
import {
  type Chord,
  type ChordDegree,
  chordFrom,
  chordTones,
  formatChord,
  isChordKind,
  isNoChord,
  parseChord,
} from '../../../core/theory/chord';
import { type DegreeNumber, degree, pitchClassOf, sameDegree } from '../../../core/theory/degree';
import { transposeClass } from '../../../core/theory/interval';
import { keyScale } from '../../../core/theory/key';
import { formatPitchClass, isAlter, type PitchClass } from '../../../core/theory/pitch';
import { parseRoman } from '../../../core/theory/roman';
import { attribute, child, childNumber, childrenOf, ownText, type XmlElement } from '../xml/parse';
import { type BarLayout, GRID } from './bars';
import { readKeyElement } from './key';
import type { Found, ImportLog } from './log';
import { readLetter } from './pitch';
import type { PlacedElement, RawItem } from './raw';
import { clip } from './text';
import { snap } from './value';

/**
 * The chord lane. Symbols that stand at one place without an offset share the note that follows
 * them. A chord that has no name here stands as N.C., so that no wrong degree is shown; logged.
 */
export function readHarmonies(
  harmonies: readonly PlacedElement[],
  items: readonly RawItem[],
  layout: BarLayout,
  key: Key,
  log: ImportLog,
): readonly ChordChange[] {
  const read = harmonies.map((h) => {
    const at = snap((layout.starts[h.measure] ?? 0) + h.offset);
    const onset = Math.min(Math.round(at), layout.length - 1);
    return { h, at, symbol: readSymbol(h, key, { onset, line: h.element.line }, log) };
  });
  const changes = shareNotes(read, items, layout, log)
    .map((c) => ({ ...c, onset: nearestPlace(c.at) }))
    .sort((a, b) => a.onset - b.onset);
  const lane: ChordChange[] = [];
  for (const { onset, symbol, line } of changes) {
    const last = lane.at(-1);
    if (onset >= layout.length) {
      log.add('dropped', 'a chord symbol after the end is left out', { line });
    } else if (last !== undefined && last.onset === onset) {
      if (last.symbol !== symbol) {
        log.add('dropped', 'a second chord symbol at one place is left out', { onset, line });
      }
    } else lane.push({ onset, symbol });
  }
  return lane;
}

interface Placed {
  readonly h: PlacedElement;
  readonly at: number;
  readonly symbol: ChordSymbol | null;
}

/** Spreads symbols that stand before one note over its length, as older programs mean them. */
function shareNotes(
  read: readonly Placed[],
  items: readonly RawItem[],
  layout: BarLayout,
  log: ImportLog,
): { at: number; symbol: ChordSymbol | null; line: number }[] {
  const lengths = new Map<string, number>();
  for (const i of items) {
    const place = `${i.measure} ${i.offset}`;
    if (!i.grace && !lengths.has(place)) lengths.set(place, i.duration);
  }
  const groups = new Map<string, Placed[]>();
  for (const p of read) {
    const own = child(p.h.element, 'offset') === undefined;
    const place = own ? `${p.h.measure} ${p.h.offset}` : `alone ${groups.size}`;
    const group = groups.get(place);
    const last = group?.at(-1);
    // The same symbol once more is a copy on another staff.
    if (group === undefined) groups.set(place, [p]);
    else if (last?.symbol !== p.symbol) group.push(p);
  }
  const out: { at: number; symbol: ChordSymbol | null; line: number }[] = [];
  for (const [place, group] of groups) {
    const step = group.length === 1 ? 0 : (lengths.get(place) ?? 0) / group.length;
    if (step > 0) {
      log.add('assumed', 'chord symbols at one place share the note that follows', {
        onset: Math.min(Math.round(group[0]!.at), layout.length - 1),
        line: group[0]!.h.element.line,
      });
    }
    group.forEach((p, i) => {
      out.push({ at: snap(p.at + i * step), symbol: p.symbol, line: p.h.element.line });
    });
  }
  return out;
}

/** Where a symbol or mark may stand (T1): a 128th or its division by 3, 5, 7, 9 or 15. */
export function nearestPlace(time: number): Ticks {
  const places = [3, 5, 7, 9, 15].map((n) => Math.round(snap((time * n) / GRID)) * (GRID / n));
  return places.reduce((best, p) => (Math.abs(p - time) < Math.abs(best - time) ? p : best));
}

function readSymbol(h: PlacedElement, key: Key, found: Found, log: ImportLog): ChordSymbol | null {
  const e = h.element;
  if (child(e, 'frame') !== undefined) {
    log.add('dropped', 'chord diagrams are not kept', found);
  }
  const kinds = childrenOf(e, 'kind');
  if (kinds.length > 1) {
    log.add('approximated', 'of a chord over a chord the first is kept', found);
  }
  const kindElement = kinds[0];
  const kind = kindElement === undefined ? null : ownText(kindElement);
  if (kind === 'none') return null;
  const text = kindElement === undefined ? '' : (attribute(kindElement, 'text')?.trim() ?? '');
  if (kind === null) return unknownKind(h, text, key, found, log);
  const chord = readChord(h, kind, text, key, found, log);
  if (chord === null) {
    const what = [rootText(e), kind, text].filter((t) => t !== '').join(' ');
    log.add(
      'approximated',
      `the chord '${clip(what)}' is not understood and stands as N.C.`,
      found,
    );
    return null;
  }
  return formatChord(chord);
}

/** A chord whose kind the file leaves empty: the printed text may say it, else it is told. */
function unknownKind(
  h: PlacedElement,
  text: string,
  key: Key,
  found: Found,
  log: ImportLog,
): ChordSymbol | null {
  const chord = text === '' ? null : readChord(h, 'other', text, key, found, log);
  if (chord !== null) return formatChord(chord);
  log.add(
    'approximated',
    `the kind of the chord on '${clip(rootText(h.element))}' is not known; it stands as N.C.`,
    found,
  );
  return null;
}

function rootText(e: XmlElement): string {
  const root = child(e, 'root') ?? child(e, 'numeral') ?? child(e, 'function');
  if (root === undefined) return '';
  return root.children.length === 0
    ? root.text.trim()
    : root.children.map((c) => c.text.trim()).join(' ');
}

function readChord(
  h: PlacedElement,
  kind: string,
  text: string,
  key: Key,
  found: Found,
  log: ImportLog,
): Chord | null {
  const e = h.element;
  const root = readRoot(h, key);
  if (root === null) return null;
  const bass = readBass(h, key);
  const degrees = childrenOf(e, 'degree')
    .flatMap((d) => readDegree(d))
    .map((d) => plainSeventh(d, kind, text, found, log));
  if (degrees.length < childrenOf(e, 'degree').length) {
    log.add('dropped', 'a chord degree that is not understood is left out', found);
  }
  const byText = isNoChord(text) ? null : parseChord(formatPitchClass(root) + text);
  if (!isChordKind(kind) || kind === '7alt') {
    // A kind without a name of its own: the printed text is all there is to go by.
    if (byText === null || !byText.ok || text === '') return null;
    return { ...byText.value, bass: bass ?? byText.value.bass };
  }
  const built = chordFrom(root, kind, degrees, bass);
  if (!built.ok) return null;
  if (byText?.ok && byText.value.kind === '7alt' && isAltered(built.value, byText.value)) {
    return { ...byText.value, bass: built.value.bass };
  }
  if (text !== '' && byText?.ok && !sameTones(built.value, byText.value)) {
    const printed = clip(formatPitchClass(root) + text);
    const kept = formatChord({ ...built.value, bass: null });
    log.add('assumed', `a chord printed as '${printed}' is what its kind says: ${kept}`, found);
  }
  return bass === null ? withInversion(built.value, childNumber(e, 'inversion')) : built.value;
}

function sameTones(a: Chord, b: Chord): boolean {
  const own = chordTones({ ...a, bass: null });
  const other = chordTones({ ...b, bass: null });
  return own.length === other.length && other.every((w) => own.some((o) => sameDegree(o, w)));
}

/**
 * An added seventh is minor without an alteration (W3C: relative to a dominant chord); many programs
 * lower it once more, and mean that too. A diminished one belongs over a diminished triad alone.
 */
function plainSeventh(
  d: ChordDegree,
  kind: string,
  text: string,
  found: Found,
  log: ImportLog,
): ChordDegree {
  const odd = d.type === 'add' && d.value === 7 && d.alter === -1;
  if (!odd || kind.includes('diminished') || /(?:bb|𝄫|♭♭)7/u.test(text)) return d;
  log.add('assumed', 'a seventh that is added with a flat is a minor one', found);
  return { ...d, alter: 0 };
}

/** MusicXML has no altered dominant: its text says it, its degrees spell it out or are missing. */
function isAltered(built: Chord, altered: Chord): boolean {
  if (built.kind === 'dominant' && built.degrees.length === 0) return true;
  return sameTones(built, altered);
}

function withInversion(chord: Chord, inversion: number | null): Chord {
  if (inversion === null || inversion < 1) return chord;
  const number = [1, 3, 5, 7][inversion] as DegreeNumber | undefined;
  const tone = chordTones(chord).find((d) => d.number === number);
  const bass = tone === undefined ? null : pitchClassOf(chord.root, tone);
  return bass === null ? chord : { ...chord, bass };
}

function readRoot(h: PlacedElement, key: Key): PitchClass | null {
  const root = child(h.element, 'root');
  if (root !== undefined) return readClass(h, root, 'root');
  const numeral = child(h.element, 'numeral');
  if (numeral !== undefined) return readNumeral(h, numeral, key);
  const name = child(h.element, 'function');
  const roman = name === undefined ? null : parseRoman(ownText(name) ?? '', key);
  return roman?.ok ? roman.value.root : null;
}

/** A written letter and alteration as it sounds. */
function readClass(h: PlacedElement, e: XmlElement, prefix: 'root' | 'bass'): PitchClass | null {
  const step = child(e, `${prefix}-step`);
  const letter = readLetter(step === undefined ? null : ownText(step));
  const alter = Math.round(childNumber(e, `${prefix}-alter`) ?? 0);
  if (letter === null || !isAlter(alter)) return null;
  return transposeClass({ letter, alter }, h.sounding);
}

/** A bass letter; or in a numeral's chord the letter that stands at a step of the key. */
function readBass(h: PlacedElement, key: Key): PitchClass | null {
  const bass = child(h.element, 'bass');
  if (bass === undefined) return null;
  return readClass(h, bass, 'bass') ?? readNumeral(h, bass, key);
}

function readNumeral(h: PlacedElement, e: XmlElement, key: Key): PitchClass | null {
  const n = childNumber(e, 'numeral-root');
  const alter = Math.round(childNumber(e, 'numeral-alter') ?? 0);
  if (n === null || !Number.isInteger(n) || n < 1 || n > 7) return null;
  const own = child(e, 'numeral-key');
  const home = own === undefined ? key : (readKeyElement(own, h.sounding, 'numeral-') ?? key);
  const scale = keyScale(home.mode)[n - 1]!;
  const total = scale.alter + alter;
  return isAlter(total) ? pitchClassOf(home.tonic, degree(scale.number, total)) : null;
}

function readDegree(d: XmlElement): readonly ChordDegree[] {
  const value = childNumber(d, 'degree-value');
  const alter = Math.round(childNumber(d, 'degree-alter') ?? 0);
  const typeElement = child(d, 'degree-type');
  const type = typeElement === undefined ? null : ownText(typeElement);
  if (value === null || !Number.isInteger(value) || value < 1 || value > 13 || !isAlter(alter)) {
    return [];
  }
  if (type !== 'add' && type !== 'alter' && type !== 'subtract') return [];
  return [{ type, value, alter: type === 'subtract' ? 0 : alter }];
}
