import type { NoteId, Phrase, PhraseEvent } from '../../src/core/phrase/types';
import { degreeSign } from '../../src/core/theory/degree';
import { analyse } from '../../src/core/understand/analyse';
import { inkPhrase } from '../../src/engrave/engrave';
import { findOutside, findOverlaps } from '../../src/engrave/ink/touching';
import type { EngraveOptions, Staves } from '../../src/engrave/options';
import type { InkedSystem } from '../../src/engrave/page/system';
import type { DegreeLabels } from '../../src/engrave/text/degrees';
import { seededPhrase } from './arbitrary';

/** The degree line that tests print: chord degrees, key degrees where there is no chord, targets of bends (D5). */
export function degreesOf(p: Phrase): DegreeLabels {
  return new Map(
    analyse(p).readings.map((r) => {
      const start = degreeSign(r.start.chordDegree ?? r.start.keyDegree);
      const heard = degreeSign(r.heard.chordDegree ?? r.heard.keyDegree);
      const text = r.heard.pitch === r.start.pitch ? start : `${start}→${heard}`;
      return [r.note.id, { text }];
    }),
  );
}

const STAVES: readonly Staves[] = ['both', 'both', 'staff', 'tab', 'degrees'];
const WIDTHS = [900, 640, 420, 1200, 330];
const SIZES = [7.5, 6, 10];

/** A generated phrase with options that go round: staves, widths, sizes, marks of change. */
export function pageOf(seed: number): {
  readonly phrase: Phrase;
  readonly options: EngraveOptions;
} {
  const phrase = seededPhrase(seed, { playable: seed % 7 !== 6 });
  const ids = phrase.voices.flatMap((v) => v.events.flatMap((e) => e.notes.map((n) => n.id)));
  return {
    phrase,
    options: {
      width: WIDTHS[seed % WIDTHS.length]!,
      staves: STAVES[(seed >> 2) % STAVES.length]!,
      size: SIZES[(seed >> 3) % SIZES.length]!,
      degrees: degreesOf(phrase),
      changed: new Set(seed % 3 === 0 ? ids.filter((_, i) => i % 2 === 0) : []),
    },
  };
}

/** How far a fret may stand from the middle of its notehead, in px. */
export const MOST_OFFSET = 0.6;

/** What is wrong with the geometry of a phrase on a page; empty when all is well. */
export function geometryFaults(p: Phrase, o: EngraveOptions): readonly string[] {
  const faults: string[] = [];
  inkPhrase(p, o).forEach((s, line) => {
    for (const { a, b } of findOverlaps(s.ink)) {
      const [x, y] = [Math.round(a.x0), Math.round(a.y0)];
      faults.push(`line ${line + 1}: ${a.kind} runs into ${b.kind} at ${x}, ${y}`);
    }
    const page = { x0: 0, y0: 0, x1: s.units.width, y1: s.units.height };
    for (const k of findOutside(s.ink, page))
      faults.push(`line ${line + 1}: ${k.kind} leaves the page`);
    if (s.width > o.width + 0.01) faults.push(`line ${line + 1}: wider than the page`);
    for (const { id, off } of offsets(p, s)) {
      if (off > MOST_OFFSET)
        faults.push(`line ${line + 1}: fret of ${id} is ${off.toFixed(2)} px off`);
    }
  });
  return faults;
}

/** How far each fret stands from the middle of its notehead, in px. */
export function offsets(
  p: Phrase,
  s: InkedSystem,
): readonly { readonly id: NoteId; readonly off: number }[] {
  const events = new Map<NoteId, PhraseEvent>();
  for (const v of p.voices) for (const e of v.events) for (const n of e.notes) events.set(n.id, e);
  const heads = s.hits.notes.filter((h) => h.row === 'staff');
  return s.hits.notes
    .filter((h) => h.row === 'tab')
    .flatMap((fret) => {
      const middle = (fret.x0 + fret.x1) / 2;
      const here = heads.filter((h) => h.onset === fret.onset);
      const own = here.find((h) => h.id === fret.id);
      if (own === undefined) return [];
      const scale = (own.y1 - own.y0) / 10;
      // A head beside a second or unison stands on the other side of the stem; its fret stays with
      // the others of the chord.
      const notes = events.get(fret.id)!.notes.map((n) => n.id);
      const beside = here.filter(
        (h) => notes.includes(h.id) && Math.abs(h.y0 - own.y0) < 10 * scale - 0.01,
      );
      const off = Math.min(...beside.map((h) => Math.abs((h.x0 + h.x1) / 2 - middle)));
      return [{ id: fret.id, off }];
    });
}
