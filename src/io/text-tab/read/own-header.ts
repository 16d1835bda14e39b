import { KINDS, pitchesOf } from '../../../core/phrase/instruments';
import type { Feel, Instrument, Tempo } from '../../../core/phrase/types';
import { type Key, parseKey } from '../../../core/theory/key';
import { midiOf } from '../../../core/theory/pitch';
import type { QuickDefaults } from '../../quick/read-head';
import { columnsOf } from '../../text/char-width';
import { ORIGIN, TITLE } from '../write/header';

/** What the lines over our own text say, as far as they are there. */
export interface OwnHeader {
  readonly title: string;
  readonly says: Partial<Omit<QuickDefaults, 'meter' | 'instrument'>>;
  readonly instrument: Instrument | null;
}

const KEY_LINE =
  /^(\S+) (major|minor|blues), (eighth|quarter|dotted quarter|half) = ([\d.]+), (?:straight|swung (eighths|16ths) (\d+):(\d+))$/u;
const INSTRUMENT_LINE =
  /^(.+): ((?:[A-G](?:♭♭?|♯♯?|bb?|##?)?-?\d ?)+), (\d+) frets(?:, capo (\d+)\b.*)?$/u;

/**
 * Reads the lines before the first block; where those of the key or the instrument were wrapped they are left
 * to the defaults.
 * @param widest Columns of the longest line of the text: it was wrapped at these or more.
 */
export function readOwnHeader(written: readonly string[], widest: number): OwnHeader {
  const lines = written.map((l) => l.trim());
  // A title may look like it; the true one stands behind.
  const at = lines.map((l) => KEY_LINE.test(l)).lastIndexOf(true);
  const over = lines.slice(0, Math.max(0, at));
  const title = titleOf(over.slice(over.lastIndexOf('') + 1), widest);
  const m = at < 0 ? null : KEY_LINE.exec(lines[at]!);
  const strung = lines.map((l) => INSTRUMENT_LINE.exec(l)).find((x) => x !== null) ?? null;
  return {
    title,
    says:
      m === null ? {} : { ...keyOf(m[1]!, m[2]!), tempo: tempoOf(m[4]!, m[3]!), feel: feelOf(m) },
    instrument: strung === null ? null : instrumentOf(strung),
  };
}

/** The title goes on in the next line where a word of that had no room. */
function titleOf(over: readonly string[], widest: number): string {
  const [first = '', ...more] = over;
  if (ORIGIN.test(first)) return '';
  let title = first;
  let line = first;
  for (const next of more) {
    const room = widest - columnsOf(line) - 1;
    if (ORIGIN.test(next) || columnsOf(next.split(' ')[0]!) <= room) break;
    title += ` ${next}`;
    line = next;
  }
  const sign = TITLE.trim();
  return title.startsWith(sign) ? title.slice(sign.length).trimStart() : title;
}

function ascii(text: string): string {
  return text.replaceAll('♭', 'b').replaceAll('♯', '#');
}

function keyOf(tonic: string, mode: string): { readonly key?: Key } {
  const key = parseKey(`${ascii(tonic)} ${mode}`);
  return key === null ? {} : { key };
}

function tempoOf(bpm: string, unit: string): Tempo {
  return { bpm: Number(bpm), unit: unit.replace(' ', '-') as Tempo['unit'] };
}

function feelOf(m: RegExpExecArray): Feel {
  if (m[5] === undefined) return { kind: 'straight' };
  const unit = m[5] === 'eighths' ? 'eighth' : '16th';
  return { kind: 'swing', unit, first: Number(m[6]), second: Number(m[7]) };
}

/** With the neck of the usual instrument whose open strings lie nearest; that is not written. */
function instrumentOf(m: RegExpExecArray): Instrument | null {
  const tuning = pitchesOf(ascii(m[2]!));
  if (typeof tuning === 'string') return null;
  const away = (notes: string) => {
    const usual = pitchesOf(notes);
    if (typeof usual === 'string' || usual.length !== tuning.length) return null;
    return tuning.reduce((sum, p, i) => sum + Math.abs(midiOf(p) - midiOf(usual[i]!)), 0);
  };
  const kinds = Object.values(KINDS).flatMap((k) => {
    const far = away(k.notes);
    return far === null ? [] : [{ k, far }];
  });
  const [nearest] = kinds.sort((a, b) => a.far - b.far);
  if (nearest === undefined) return null;
  const { scaleLength, clef } = nearest.k;
  const [frets, capo] = [Number(m[3]), Number(m[4] ?? 0)];
  return { name: m[1]!, tuning, frets, capo, scaleLength, clef };
}
