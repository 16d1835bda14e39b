import type { Phrase, Ticks } from '../phrase/types';
import { canonicalSymbol } from '../theory/chord';
import type { Findings } from './findings';
import { GRID } from './rhythm';

/** The chord lane and the marks: ascending and inside the phrase. */
export function checkLane(p: Phrase, out: Findings): void {
  let before = Number.NEGATIVE_INFINITY;
  p.chords.forEach((c, i) => {
    const pointer = `/chords/${i}/onset`;
    if (c.symbol !== null && !known.has(c.symbol)) {
      checkSymbol(c.symbol, `/chords/${i}/symbol`, c.onset, out);
    }
    checkPlace(p, pointer, c.onset, 'chord symbol', out);
    if (c.onset <= before) {
      out.add({
        pointer,
        message: 'a chord symbol stands at or before the one before it',
        fix: 'Keep the symbols ascending, one at a time.',
        onset: c.onset,
      });
    }
    before = Math.max(before, c.onset);
  });
  checkMarks(p, out);
}

const KNOWN_SIZE = 1_000;
/** Symbols found canonical before, since phrases use the same few again and again. */
const known = new Set<string>();

/** A symbol in its one canonical spelling, so that equal chords are equal data. */
function checkSymbol(symbol: string, pointer: string, onset: Ticks, out: Findings): void {
  const canonical = canonicalSymbol(symbol);
  if (!canonical.ok) {
    const why = canonical.problems[0];
    out.add({
      pointer,
      message: why?.message ?? `'${symbol}' is no chord symbol`,
      fix: why?.fix ?? 'Write it like Am7b5, or null for no chord.',
      onset,
    });
  } else if (canonical.value !== symbol) {
    out.add({
      pointer,
      message: `the chord symbol '${symbol}' is not in its stored spelling`,
      fix: `Write '${canonical.value}'.`,
      onset,
    });
  } else {
    if (known.size >= KNOWN_SIZE) known.clear();
    known.add(symbol);
  }
}

function checkMarks(p: Phrase, out: Findings): void {
  let before = 0;
  let dynamicAt = -1;
  p.marks.forEach((m, i) => {
    const pointer = `/marks/${i}/onset`;
    checkPlace(p, pointer, m.onset, 'mark', out);
    if (m.onset < before) {
      out.add({
        pointer,
        message: 'a mark stands before the one before it',
        fix: 'Keep the marks ascending.',
        onset: m.onset,
      });
    }
    if (m.kind === 'dynamic') {
      if (m.onset === dynamicAt) {
        out.add({
          pointer,
          message: 'two dynamics stand at one place',
          fix: 'Remove one.',
          onset: m.onset,
        });
      }
      dynamicAt = m.onset;
    }
    before = Math.max(before, m.onset);
  });
}

/** The divisions of a 128th by 15, among them those by 3 and 5, by 7 and by 9: all that tuplets have. */
const DIVISIONS = [GRID / 15, GRID / 7, GRID / 9];

/**
 * Inside the phrase, where some note value could start (T1). Which tuplet does not matter: three
 * symbols may share a bar in which no triplet is played.
 */
function checkPlace(p: Phrase, pointer: string, onset: Ticks, what: string, out: Findings): void {
  if (!(onset >= 0 && onset < p.length)) {
    out.add({
      pointer,
      message: `a ${what} stands at tick ${onset}, outside the phrase of ${p.length}`,
      fix: 'Move it inside, or make the phrase longer.',
      onset,
    });
  } else if (!DIVISIONS.some((d) => onset % d === 0)) {
    out.add({
      pointer,
      message: `tick ${onset} is no place where a ${what} can stand`,
      fix: 'Move it to a beat, a note value or its division by 3, 5, 7, 9 or 15.',
      onset,
    });
  }
}
