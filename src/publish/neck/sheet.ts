import { barsText, handInBars, shapeSpan } from '../../core/neck/hand-bars';
import { chordOnNeck, chordsOfLane, stretchesOf } from '../../core/neck/neck-views';
import { type CountsFrom, degreesOnNeck, phraseOnNeck } from '../../core/neck/on-neck';
import { playableFrets } from '../../core/phrase/instrument';
import type { Phrase } from '../../core/phrase/types';
import { type Chord, chordSign } from '../../core/theory/chord';
import { type Degree, degreeSign } from '../../core/theory/degree';
import type { PitchClass } from '../../core/theory/pitch';
import { analyse } from '../../core/understand/analyse';
import { drawNeck, type NeckPicture, type NeckView } from '../../engrave/neck/picture';
import { instrumentWords } from '../../engrave/text/instrument';
import type { Tools } from '../format';
import { escapeXml } from '../svg/escape';
import { fontRules } from '../svg/fonts';
import { headingSvg } from '../svg/heading';

/** What a sheet of necks shows. */
export type NeckContent =
  /** The phrase in the order played; a neck for each stretch of bars that can be followed. */
  | { readonly kind: 'phrase'; readonly degrees: CountsFrom }
  /** A neck for each chord: those of the lane where none are named. */
  | { readonly kind: 'chord'; readonly chords?: readonly Chord[] }
  | {
      readonly kind: 'scale';
      /** `G blues`, or what the degrees are called. */
      readonly name: string;
      readonly root: PitchClass;
      readonly degrees: readonly Degree[];
    };

export interface SheetOptions {
  readonly content: NeckContent;
  /** First and last fret; for a phrase what it needs when absent, else the first twelve. */
  readonly frets?: readonly [number, number];
  readonly leftHanded?: boolean;
}

const MARGIN = 24;
const GAP = 18;
const NOTE_SIZE = 12;
/** px; a title has room beside the shortest neck. */
const LEAST_WIDTH = 320;

/** The necks of a sheet, one under the other. */
export function necksOf(p: Phrase, o: SheetOptions): readonly NeckPicture[] {
  return viewsOf(p, o).map(drawNeck);
}

function viewsOf(p: Phrase, o: SheetOptions): readonly NeckView[] {
  const { instrument } = p;
  const analysis = analyse(p);
  const look = {
    instrument,
    leftHanded: o.leftHanded === true,
    ...(o.frets === undefined ? {} : { frets: o.frets }),
  };
  const { content } = o;
  if (content.kind === 'phrase') {
    const stretches = stretchesOf(p);
    return stretches.map((s): NeckView => {
      const within = [s.from, s.to] as const;
      return {
        ...look,
        content: phraseOnNeck(p, analysis, content.degrees, within),
        way: true,
        hand: handInBars(p, within),
        shape: shapeSpan(p, within),
        ...(stretches.length === 1 ? {} : { title: barsText(s.bars) }),
      };
    });
  }
  const frets = o.frets ?? ([0, Math.min(12, playableFrets(instrument))] as const);
  if (content.kind === 'scale') {
    const marks = degreesOnNeck(instrument, content.root, content.degrees, frets);
    const names = content.degrees.map(degreeSign).join(' ');
    return [{ ...look, frets, content: marks, title: `${content.name}: ${names}` }];
  }
  return (content.chords ?? chordsOfLane(analysis)).map((chord) => ({
    ...look,
    frets,
    content: chordOnNeck(instrument, chord, frets),
    title: chordSign(chord),
  }));
}

/** A picture of the necks under the phrase's title, with its fonts inside: black on white. */
export async function neckSheet(p: Phrase, o: SheetOptions, tools: Tools): Promise<string> {
  const rules = await fontRules(tools);
  const necks = necksOf(p, o);
  const title = p.meta.title.trim();
  const notes = instrumentWords(p.instrument).join(', ');
  const room = Math.ceil(Math.max(LEAST_WIDTH, ...necks.map((n) => n.width)));
  const heading = headingSvg(title, { left: MARGIN, top: MARGIN - 4, width: room });
  let y =
    MARGIN +
    (title === '' ? 0 : heading.height + GAP / 2) +
    (notes === '' ? 0 : NOTE_SIZE + GAP / 2);
  const head = heading.svg + (notes === '' ? '' : text(notes, y - GAP / 2, NOTE_SIZE));
  const placed = necks.map((n) => {
    const at = y;
    y += n.height + GAP;
    return n.svg.replace('<svg ', `<svg x="${MARGIN}" y="${at.toFixed(2)}" `);
  });
  const width = room + 2 * MARGIN;
  const height = Math.ceil(y - GAP + MARGIN);
  return (
    `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}" ` +
    `viewBox="0 0 ${width} ${height}" color="#000" fill="#000"><style>${rules}</style>` +
    `<rect width="${width}" height="${height}" fill="#fff"/>${head}${placed.join('')}</svg>\n`
  );
}

function text(words: string, y: number, size: number): string {
  return (
    `<text x="${MARGIN}" y="${y.toFixed(2)}" font-family="'Degreewise Text',serif" ` +
    `font-size="${size}">${escapeXml(words)}</text>`
  );
}
