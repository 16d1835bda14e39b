import { barsText, handInBars, shapeSpan } from '../../../core/neck/hand-bars';
import { chordOnNeck, chordsOfLane, stretchesOf } from '../../../core/neck/neck-views';
import { type CountsFrom, degreesOnNeck, phraseOnNeck } from '../../../core/neck/on-neck';
import { playableFrets } from '../../../core/phrase/instrument';
import type { Phrase } from '../../../core/phrase/types';
import { chordSign } from '../../../core/theory/chord';
import type { PitchClass } from '../../../core/theory/pitch';
import { scaleNamed } from '../../../core/theory/scales';
import type { NeckView } from '../../../engrave/neck/picture';
import { analysisOf } from '../../score/analysis';
import { keyName, noteName } from '../../shared/words';
import { degreesIn, type NeckChoice } from './neck-choice';

/** A neck as it is shown. */
export interface Shown {
  readonly view: NeckView;
  /** What degrees count from; null for a phrase, where each note has its own. */
  readonly root: PitchClass | null;
  readonly of: string;
}

/** What a choice shows of a phrase. */
export function viewOf(p: Phrase, c: NeckChoice, degrees: CountsFrom, leftHanded: boolean): Shown {
  const { instrument } = p;
  const last = playableFrets(instrument);
  const all = [0, last] as const;
  const look = { instrument, leftHanded, narrow: matchMedia('(width < 40rem)').matches };
  const analysis = analysisOf(p);
  if (c.show === 'phrase') {
    const stretches = stretchesOf(p);
    const s = stretches[c.part] ?? stretches[0];
    const within = s === undefined ? undefined : ([s.from, s.to] as const);
    const view: NeckView = {
      ...look,
      ...(c.whole ? { frets: all } : {}),
      content: phraseOnNeck(p, analysis, degrees, within),
      way: true,
      hand: handInBars(p, within),
      shape: shapeSpan(p, within),
    };
    return { view, root: null, of: s === undefined ? 'the phrase' : barsText(s.bars) };
  }
  const frets = c.whole ? all : ([0, Math.min(12, last)] as const);
  const chord = c.show === 'chord' ? chordsOfLane(analysis)[c.part] : undefined;
  if (chord !== undefined) {
    const view = { ...look, frets, content: chordOnNeck(instrument, chord, frets) };
    return { view, root: chord.root, of: chordSign(chord) };
  }
  const { tonic, mode } = p.key;
  const tones =
    c.show === 'own' ? degreesIn(c.own) : scaleNamed(c.scale === '' ? mode : c.scale)!.degrees;
  const of = c.show === 'own' || c.scale === '' ? keyName(p.key) : `${noteName(tonic)} ${c.scale}`;
  const view = { ...look, frets, content: degreesOnNeck(instrument, tonic, tones, frets) };
  return { view, root: tonic, of };
}
