import type { ChordSymbol } from '../../../core/phrase/types';
import { type Chord, chordOf } from '../../../core/theory/chord';
import type { ChordDegree } from '../../../core/theory/chord-model';
import { formatPitchClass, type PitchClass } from '../../../core/theory/pitch';
import { el, group, leaf, type XmlNode } from '../xml/format';

/** A chord as MusicXML's `<kind>` and `<degree>`s say it. */
export interface HarmonyKind {
  /** A kind-value of MusicXML 4.0. */
  readonly kind: string;
  readonly degrees: readonly ChordDegree[];
}

/** MusicXML has no altered dominant: it is a dominant with each alteration named. */
const ALTERED: HarmonyKind = {
  kind: 'dominant',
  degrees: [
    { type: 'alter', value: 5, alter: -1 },
    { type: 'add', value: 9, alter: -1 },
    { type: 'add', value: 9, alter: 1 },
    { type: 'add', value: 13, alter: -1 },
  ],
};

/** What is written for a chord: added degrees count from a dominant, altered ones from the kind. */
export function harmonyKindOf(chord: Pick<Chord, 'kind' | 'degrees'>): HarmonyKind {
  return chord.kind === '7alt' ? ALTERED : { kind: chord.kind, degrees: chord.degrees };
}

/**
 * The text of `<kind>`: the symbol without its root and slash bass.
 * @example kindText('F#m7b5/E', chordOf('F#m7b5/E')) // 'm7b5'
 */
export function kindText(symbol: ChordSymbol, chord: Chord): string {
  const root = formatPitchClass(chord.root);
  const bass = chord.bass === null ? '' : `/${formatPitchClass(chord.bass)}`;
  if (!symbol.startsWith(root) || !symbol.endsWith(bass)) {
    throw new RangeError(`'${symbol}' is not the symbol of this chord`);
  }
  return symbol.slice(root.length, symbol.length - bass.length);
}

export interface HarmonyOptions {
  /** How a sounding name is written (N2). */
  readonly name: (p: PitchClass) => PitchClass;
  /** Ticks after the note it stands before. */
  readonly offset: number;
  /** Number of the staff where the part has two. */
  readonly staff: number | null;
}

/**
 * `<harmony>` with `root` (never `numeral`), kind with text, bass and degrees. The text says it
 * all, so the degrees are not printed once more.
 * @param symbol Null for N.C.
 */
export function harmonyNode(symbol: ChordSymbol | null, o: HarmonyOptions): XmlNode {
  const tail = [
    ...(o.offset === 0 ? [] : [leaf('offset', o.offset)]),
    ...(o.staff === null ? [] : [leaf('staff', o.staff)]),
  ];
  if (symbol === null) {
    // The root has no meaning here but must be there; its empty text keeps it from print.
    const root = group('root', leaf('root-step', 'C', { text: '' }));
    return group('harmony', root, leaf('kind', 'none', { text: 'N.C.' }), tail);
  }
  const chord = chordOf(symbol);
  const { kind, degrees } = harmonyKindOf(chord);
  return group(
    'harmony',
    namedClass('root', o.name(chord.root)),
    leaf('kind', kind, { text: kindText(symbol, chord) }),
    chord.bass === null ? null : namedClass('bass', o.name(chord.bass)),
    degrees.map((d) =>
      el(
        'degree',
        { 'print-object': 'no' },
        leaf('degree-value', d.value),
        leaf('degree-alter', d.alter),
        leaf('degree-type', d.type),
      ),
    ),
    tail,
  );
}

function namedClass(name: 'root' | 'bass', p: PitchClass): XmlNode {
  return group(
    name,
    leaf(`${name}-step`, p.letter),
    p.alter === 0 ? null : leaf(`${name}-alter`, p.alter),
  );
}
