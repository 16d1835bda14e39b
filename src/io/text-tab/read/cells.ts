import type { Attack } from '../../../core/phrase/types';
import type { TabLine } from './lines';

/** One note as it stands on its line. */
export interface TabCell {
  /** Column in the text, from 0, of the first digit of its fret. */
  readonly column: number;
  /** String, 1 = first. */
  readonly string: number;
  readonly fret: number;
  readonly dead: boolean;
  readonly ghost: boolean;
  readonly harmonic: boolean;
  /** A stopped harmonic: the fret it is touched at, or pinched with the pick. */
  readonly stopped: number | 'pinch' | null;
  /** Fret of the upper note of a trill. */
  readonly trill: number | null;
  readonly letRing: boolean;
  readonly attack: Attack | null;
  /** Fret that a bend reaches; `full` where none is written, `curl` for a quarter tone. */
  readonly bend: number | 'full' | 'curl' | null;
  /** Bent before it is struck. */
  readonly preBent: boolean;
  readonly released: boolean;
  /** Length of the wavy line behind it; 0 without one. */
  readonly waves: number;
  /** Semitones of a dip with the vibrato bar. */
  readonly dip: number | null;
  /** A slide into it from no note before; `fret` where it says from which. */
  readonly slideIn: { readonly from: 'below' | 'above'; readonly fret: number | null } | null;
  readonly slideOut: 'up' | 'down' | null;
  /** Written as a grace note of our own. */
  readonly grace: boolean;
}

/** Sign before a fret that follows another directly: how it is reached. */
const JOINS: Readonly<Record<string, Attack>> = {
  h: 'hammer-on',
  p: 'pull-off',
  '/': 'slide',
  '\\': 'slide',
  s: 'slide',
  S: 'slide',
  'S/': 'slide-plucked',
  'S\\': 'slide-plucked',
  t: 'tap',
  T: 'tap',
};

/**
 * What a line says, sign by sign; signs that mean nothing here are counted in `odd`.
 * @param own Whether we wrote it: then a slide off is never a slide to the next fret, and what a sign
 * leads from may stand before the bar line or in the system before.
 */
export function cellsOf(
  line: TabLine,
  string: number,
  odd: Map<string, number>,
  own: boolean,
): readonly TabCell[] {
  const { body, start } = line;
  const cells: TabCell[] = [];
  const note = (sign: string) => odd.set(sign, (odd.get(sign) ?? 0) + 1);
  if (line.after !== '') note(`'${line.after}' behind the bar line`);
  let before = '';
  let linked = own;
  let slideIn: TabCell['slideIn'] = null;
  for (let i = 0; i < body.length; ) {
    const c = body[i]!;
    if (c === '-' || c === ' ' || c === '|' || c === ':' || c === '*' || c === 'o') {
      if (c === '*' || c === ':') note('repeat signs');
      if (c !== '-' && c !== ' ') linked = own;
      // A sign that hangs in the air belongs to nothing; slides keep theirs for the next fret.
      if (c === '|') before = '';
      i++;
      continue;
    }
    const lead = /^g(\d{1,2})?([/\\])(?=[\d(<])/u.exec(body.slice(i));
    if (lead !== null) {
      const fret = lead[1] === undefined ? null : Number(lead[1]);
      slideIn = { from: lead[2] === '/' ? 'below' : 'above', fret };
      i += lead[0].length;
      continue;
    }
    const grace = /^g\d{1,2}(?=[-hpST/\\g])/u.exec(body.slice(i));
    if (grace !== null) {
      // Without a length of its own it would be told as one more note of the rhythm.
      if (own) cells.push(graceCell(start + i + 1, string, Number(grace[0].slice(1))));
      else note('a grace note');
      linked = true;
      i += grace[0].length;
      continue;
    }
    const m = /^(\()?([<[])?(\d{1,2}|[xX])([>\]])?(\))?/u.exec(body.slice(i));
    if (m === null) {
      const sign = /^S[/\\]/u.exec(body.slice(i))?.[0] ?? c;
      if (sign in JOINS) before = sign;
      else note(`'${c}'`);
      i += sign.length;
      continue;
    }
    const opened = (m[1] ?? '').length + (m[2] ?? '').length;
    const dead = /[xX]/u.test(m[3]!);
    let text = m[0];
    let fret = dead ? 0 : Number(m[3]);
    if (fret > 24) {
      // Two frets written without a gap.
      fret = Number(m[3]![0]);
      text = text.slice(0, opened + 1);
    }
    i += text.length;
    const { length, ...tail } = readTail(body.slice(i), own);
    const reach = reached(before, linked);
    cells.push({
      column: start + i - text.length + opened,
      string,
      fret,
      dead,
      ghost: m[1] !== undefined && m[5] !== undefined,
      harmonic: m[2] !== undefined && m[4] !== undefined,
      attack: reach.attack,
      grace: false,
      ...tail,
      slideIn: slideIn ?? reach.slideIn,
    });
    before = '';
    slideIn = null;
    linked = true;
    i += length;
  }
  return cells;
}

/** How a sign before a fret leads to it; a slide from nothing comes from below or above. */
function reached(sign: string, linked: boolean): Pick<TabCell, 'attack' | 'slideIn'> {
  const attack = JOINS[sign] ?? null;
  const slides = attack === 'slide' || attack === 'slide-plucked';
  if (linked || !slides) return { attack, slideIn: null };
  return { attack: null, slideIn: { from: sign.endsWith('\\') ? 'above' : 'below', fret: null } };
}

function graceCell(column: number, string: number, fret: number): TabCell {
  const { length: _, ...tail } = readTail('', true);
  const none = { dead: false, ghost: false, harmonic: false, attack: null, slideIn: null };
  return { column, string, fret, ...none, ...tail, grace: true };
}

/**
 * What follows a fret: a touched or pinched harmonic, a bend with its target and release, a trill,
 * vibrato, a dip, a slide to nowhere, let ring. */
function readTail(text: string, own: boolean) {
  let length = 0;
  const take = (sign: RegExp) => {
    const found = sign.exec(text.slice(length));
    length += found?.[0].length ?? 0;
    return found;
  };
  const stopped = take(/^<(?:(\d{1,2})|PH)>/u);
  const bend = take(/^(pb|[b^])(\(?(\d{1,2}|[¼½q])\)?)?/u);
  const release = bend === null ? null : take(/^-*r\(?(\d{1,2})?\)?/u);
  const trill = take(/^tr\(?(\d{1,2})\)?/u);
  const shake = take(/^(?:~+|[vV]+(?!\d))/u);
  const dip = take(/^v(\d{1,2}(?:\.5)?)(?!\d)/u);
  const off = take(/^[/\\](?=-|\s|\||=|$)/u);
  // `5/-7` is a slide to 7, not one to nowhere.
  const goesOn = !own && off !== null && /^-{0,2}\d/u.test(text.slice(length));
  if (goesOn) length -= off[0].length;
  const ring = take(/^=/u);
  return {
    length,
    stopped: stopped === null ? null : stopped[1] === undefined ? 'pinch' : Number(stopped[1]),
    bend: bend === null ? null : bentTo(bend[3]),
    preBent: bend !== null && bend[1] === 'pb',
    released: release !== null,
    trill: trill === null ? null : Number(trill[1]),
    waves: shake?.[0].length ?? 0,
    dip: dip === null ? null : Number(dip[1]),
    slideOut: off === null || goesOn ? null : off[0] === '/' ? ('up' as const) : ('down' as const),
    letRing: ring !== null,
  } as const;
}

/** `half` is written as a sign; the fret it reaches is one above. */
function bentTo(text: string | undefined): TabCell['bend'] {
  if (text === undefined) return 'full';
  if (text === '¼' || text === 'q') return 'curl';
  return text === '½' ? 0 : Number(text);
}
