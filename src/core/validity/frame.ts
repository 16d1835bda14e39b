import type { Phrase } from '../phrase/types';
import { signatureFifths } from '../theory/key';
import { formatPitch, midiOf } from '../theory/pitch';
import type { Findings } from './findings';

/** What stands at the head of the page: names, dates, instrument, key and feel. */
export function checkFrame(p: Phrase, out: Findings): void {
  checkTexts(p, out);
  checkDates(p, out);
  checkInstrument(p, out);
  if (p.parent === p.id) {
    out.add({
      pointer: '/parent',
      message: 'the phrase is named as its own parent',
      fix: 'Write the id of the phrase it was made from, or null.',
    });
  }
  const fifths = signatureFifths(p.key);
  if (Math.abs(fifths) > 7) {
    out.add({
      pointer: '/key',
      message: `the key would need ${Math.abs(fifths)} ${fifths > 0 ? 'sharps' : 'flats'} and no signature has more than seven`,
      fix: 'Use the enharmonic key.',
    });
  }
  checkFeel(p, out);
}

function checkTexts(p: Phrase, out: Findings): void {
  const lines: [string, string | undefined][] = [
    ['/meta/title', p.meta.title],
    ['/meta/styleOf', p.meta.styleOf],
    ['/meta/source', p.meta.source],
    ['/instrument/name', p.instrument.name],
  ];
  p.meta.tags.forEach((t, i) => {
    lines.push([`/meta/tags/${i}`, t]);
  });
  p.marks.forEach((m, i) => {
    if (m.kind === 'words') lines.push([`/marks/${i}/text`, m.text]);
  });
  p.parts?.forEach((part, i) => {
    lines.push([`/parts/${i}/title`, part.title]);
  });
  for (const [pointer, text] of lines) {
    if (text !== undefined && !isPlainText(text, false)) reportText(pointer, 'one line', out);
  }
  if (p.meta.notes !== undefined && !isPlainText(p.meta.notes, true)) {
    reportText('/meta/notes', 'plain text with line feeds', out);
  }
  const seen = new Set<string>();
  p.meta.tags.forEach((t, i) => {
    if (seen.has(t)) {
      out.add({
        pointer: `/meta/tags/${i}`,
        message: `the tag '${t}' is there twice`,
        fix: 'Remove one.',
      });
    }
    seen.add(t);
  });
}

function reportText(pointer: string, kind: string, out: Findings): void {
  out.add({
    pointer,
    message: `the text must be ${kind} without control characters`,
    fix: 'Type it again without pasted control characters.',
  });
}

/**
 * Text that can be printed and put into any export: no control characters, no half surrogate
 * pairs (neither is legal in XML 1.0, section 2.2). Line feeds and tabs only where `lines` is set.
 */
function isPlainText(text: string, lines: boolean): boolean {
  for (const character of text) {
    const code = character.codePointAt(0)!;
    if (code === 0x0a || code === 0x09) {
      if (!lines) return false;
    } else if (code < 0x20 || (code >= 0x7f && code < 0xa0)) return false;
    else if (code >= 0xd800 && code <= 0xdfff) return false;
    else if (code === 0xfffe || code === 0xffff) return false;
  }
  return true;
}

function checkDates(p: Phrase, out: Findings): void {
  for (const field of ['created', 'modified'] as const) {
    const text = p.meta[field];
    const at = Date.parse(text);
    // The 31st of February parses as a day in March; a real date comes back as it was.
    const real = !Number.isNaN(at) && new Date(at).toISOString().slice(0, 19) === text.slice(0, 19);
    if (!real || !text.endsWith('Z')) {
      out.add({
        pointer: `/meta/${field}`,
        message: `'${text}' is no date and time in UTC`,
        fix: 'Write it like 2026-01-31T12:00:00Z.',
      });
    }
  }
}

function checkInstrument(p: Phrase, out: Findings): void {
  const { tuning, frets, capo } = p.instrument;
  if (!(capo < frets)) {
    out.add({
      pointer: '/instrument/capo',
      message: `a capo at fret ${capo} leaves no fret of ${frets}`,
      fix: `Put the capo at fret ${frets - 1} or lower.`,
    });
  }
  tuning.forEach((open, i) => {
    const low = midiOf(open);
    if (!(low >= 0 && low + frets <= 127)) {
      out.add({
        pointer: `/instrument/tuning/${i}`,
        message: `string ${i + 1} tuned to ${formatPitch(open)} leaves the range of MIDI pitches`,
        fix: 'Tune it so that every fret sounds from MIDI 0 to 127.',
        string: i + 1,
      });
    }
  });
}

/** T3: two whole numbers in lowest terms that differ; equal parts are straight. */
function checkFeel(p: Phrase, out: Findings): void {
  if (p.feel.kind === 'straight') return;
  const { first, second } = p.feel;
  if (first === second) {
    out.add({
      pointer: '/feel',
      message: `swing of ${first}:${second} is straight`,
      fix: "Write the kind 'straight', or a ratio such as 2:1.",
    });
  } else if (divisor(first, second) > 1) {
    const d = divisor(first, second);
    out.add({
      pointer: '/feel',
      message: `the swing ratio ${first}:${second} is not in lowest terms`,
      fix: `Write ${first / d}:${second / d}.`,
    });
  }
}

function divisor(a: number, b: number): number {
  return b === 0 ? a : divisor(b, a % b);
}
