import { useMemo } from 'react';
import { barsText, handInBars, shapeSpan } from '../../../core/neck/hand-bars';
import { movedPlaces } from '../../../core/neck/moved-places';
import { stretchesOf } from '../../../core/neck/neck-views';
import { type CountsFrom, type OnNeck, phraseOnNeck } from '../../../core/neck/on-neck';
import type { Phrase, Ticks } from '../../../core/phrase/types';
import { drawNeck } from '../../../engrave/neck/picture';
import { fretsFor } from '../../../engrave/neck/plan';
import { analysisOf } from '../../score/analysis';
import { System } from '../../score/system';
import { useLeftHanded } from '../../shared/use-left-handed';
import './neck-board.css';

interface NeckFiguresProps {
  readonly phrase: Phrase;
  readonly degrees: CountsFrom;
  /** Only stretches with these bars, first and last; all when absent. */
  readonly bars?: readonly [number, number];
}

/** The phrase on necks, one for each stretch of bars, to be looked at: beside a score and on paper. */
export function NeckFigures({ phrase, degrees, bars }: NeckFiguresProps) {
  const [leftHanded] = useLeftHanded();
  const necks = useMemo(() => {
    const analysis = analysisOf(phrase);
    const all = stretchesOf(phrase);
    const shown = all.filter(
      (s) => bars === undefined || s.bars.some((b) => b >= bars[0] && b <= bars[1]),
    );
    return shown.map((s) => {
      const within = [s.from, s.to] as const;
      return drawNeck({
        instrument: phrase.instrument,
        leftHanded,
        content: phraseOnNeck(phrase, analysis, degrees, within),
        way: true,
        hand: handInBars(phrase, within),
        shape: shapeSpan(phrase, within),
        ...(all.length === 1 ? {} : { title: barsText(s.bars) }),
      });
    });
  }, [phrase, degrees, bars, leftHanded]);
  return (
    <div className="neck-figures" aria-hidden="true">
      {necks.map((n, i) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: the list is made anew as a whole
        <div key={i} className="neck-picture" style={{ width: `${n.width / 16}rem` }}>
          <System svg={n.svg} />
        </div>
      ))}
    </div>
  );
}

interface NeckPairProps {
  readonly before: Phrase;
  readonly after: Phrase;
  readonly degrees: CountsFrom;
  /** One neck with arrows from where notes were; two necks otherwise. */
  readonly arrows: boolean;
  /** Which stretch of bars. */
  readonly part: number;
}

/** A phrase and what a move made of it, on the same frets. */
export function NeckPair({ before, after, degrees, arrows, part }: NeckPairProps) {
  const [leftHanded] = useLeftHanded();
  const necks = useMemo(() => {
    const s = stretchesOf(before)[part];
    const within = s === undefined ? undefined : ([s.from, s.to] as const);
    const moved = movedPlaces(before, after, within);
    const was = onNeck(before, degrees, within);
    const is = onNeck(after, degrees, moved.within);
    const { instrument } = after;
    const frets = fretsFor(instrument, [...was.marks, ...is.marks]);
    const narrow = matchMedia('(width < 40rem)').matches;
    const look = { instrument, leftHanded, frets, narrow };
    if (!arrows) {
      return [
        drawNeck({
          ...look,
          instrument: before.instrument,
          content: was,
          way: true,
          title: 'before',
        }),
        drawNeck({ ...look, content: is, way: true, title: 'after' }),
      ];
    }
    return [
      drawNeck({
        ...look,
        content: is,
        before: { content: was, arrows: moved.ways },
      }),
    ];
  }, [before, after, degrees, arrows, part, leftHanded]);
  return (
    <div className="neck-figures" aria-hidden="true">
      {necks.map((n, i) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: the list is made anew as a whole
        <div key={i} className="neck-picture" style={{ width: `${n.width / 16}rem` }}>
          <System svg={n.svg} />
        </div>
      ))}
    </div>
  );
}

function onNeck(p: Phrase, degrees: CountsFrom, within?: readonly [Ticks, Ticks]): OnNeck {
  return phraseOnNeck(p, analysisOf(p), degrees, within);
}
