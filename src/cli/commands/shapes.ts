import type { Instrument } from '../../core/phrase/types';
import { shapesOver } from '../../core/shapes/follow';
import type { ChordShape, ShapeKind } from '../../core/shapes/types';
import { type Chord, formatChord } from '../../core/theory/chord';
import { formatDegree } from '../../core/theory/degree';
import { ASCII, TYPESET } from '../../io/text/signs';
import type { ShapesOptions } from '../shape-flags';
import type { Shell } from '../shell';
import { count } from '../words';

/** So many of a kind are printed; `--json` lists all. */
const MOST_PRINTED = 24;

/** Prints the shapes of chords, or lists them as JSON. */
export function printShapes(shell: Shell, options: ShapesOptions): void {
  const { instrument, chords, kinds, strings, near } = options;
  const all = shapesOver(instrument, chords, {
    kinds,
    ...(strings === undefined ? {} : { strings }),
    ...(near === undefined ? {} : { near }),
  });
  if (options.json) {
    shell.print(`${JSON.stringify(listed(all), null, 2)}\n`);
    return;
  }
  const signs = shell.ascii ? ASCII : TYPESET;
  all.forEach(({ chord, shapes }, i) => {
    if (i > 0) shell.print('\n');
    const where = near === undefined ? '' : ` around fret ${near}`;
    shell.print(`${signs.chord(formatChord(chord))}${where}: ${count(shapes.length, 'shape')}\n`);
    for (const kind of kinds) {
      const some = shapes.filter((s) => s.kind === kind);
      if (some.length > 0) shell.print(table(kind, some, instrument, signs.degree));
    }
  });
}

const TITLES: Readonly<Record<ShapeKind, string>> = {
  'double stop': 'Double stops',
  triad: 'Triads',
  shell: 'Shells',
  'four-note': 'Four notes',
};

/** Frets and degrees from the lowest string on, as chords are spoken of (*common practice*). */
function table(
  kind: ShapeKind,
  shapes: readonly ChordShape[],
  i: Instrument,
  degree: (d: ChordShape['lowest']) => string,
): string {
  const rows = shapes.slice(0, MOST_PRINTED).map((s) => {
    const at = (string: number) => s.tones.find((t) => t.string === string);
    const strings = i.tuning.map((_, k) => i.tuning.length - k);
    const frets = strings.map((n) => String(at(n)?.fret ?? 'x').padStart(3)).join('');
    const low = strings.flatMap((n) => (at(n) === undefined ? [] : [degree(at(n)!.degree)]));
    const next = s.neighbours.map((n) => `${degree(n.degree)} at ${n.string}/${n.fret}`);
    return [frets, low.join(' '), s.name, s.slideIn ? 'slide-in' : '', next.join(', ')];
  });
  const wide = [1, 2, 3].map((c) => Math.max(0, ...rows.map((r) => [...r[c]!].length)));
  const lines = rows.map(([frets, ...rest]) => {
    const cells = rest.map(
      (cell, c) => cell + ' '.repeat(Math.max(0, (wide[c] ?? 0) - [...cell].length)),
    );
    return `${frets}   ${cells.join('  ')}`.trimEnd();
  });
  const more = shapes.length - rows.length;
  const rest = more === 0 ? '' : `  and ${more} more: name --strings, or a fret with --near\n`;
  return `\n${TITLES[kind]}\n${lines.join('\n')}\n${rest}`;
}

function listed(all: readonly { readonly chord: Chord; readonly shapes: readonly ChordShape[] }[]) {
  return all.map(({ chord, shapes }) => ({
    chord: formatChord(chord),
    shapes: shapes.map((s) => ({
      kind: s.kind,
      name: s.name,
      fret: s.fret,
      millimetres: s.mm,
      slideIn: s.slideIn,
      tones: s.tones.map(({ string, fret, midi, degree }) => ({
        string,
        fret,
        midi,
        degree: formatDegree(degree),
      })),
      neighbours: s.neighbours.map(({ string, fret, degree, of }) => ({
        string,
        fret,
        degree: formatDegree(degree),
        of: formatDegree(of),
      })),
    })),
  }));
}
