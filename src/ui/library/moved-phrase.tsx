import { type ReactNode, useEffect, useState } from 'react';
import { movePhrase } from '../../core/move/move';
import type { Phrase } from '../../core/phrase/types';
import { parseChordOrRoman } from '../../core/theory/roman';
import { type Engraver, useEngraver } from '../score/engraver';
import { System } from '../score/system';
import { firstLine, overOne } from './first-phrase';
import { FirstMusic } from './first-words';
import { Slices, unlessUnwanted } from './in-slices';

/** Milliseconds that the phrase stands over I before it moves. */
const STANDS = 2_500;

/** The same phrase over IV. */
export function overFour(phrase: Phrase): Phrase | null {
  const chord = parseChordOrRoman('IV7', phrase.key);
  if (!chord.ok) return null;
  const moved = movePhrase(phrase, {
    to: { kind: 'chord', chord: chord.value },
    way: 'chord',
    hand: 'area',
  });
  return moved.ok ? moved.value.phrase : null;
}

type Pair = readonly [string, string];

/** Both drawn. Reading, moving and engraving are tasks of their own: at once they hold up a slow page. */
async function drawPair(engraver: Engraver, slices: Slices): Promise<Pair | null> {
  // Whoever asks is in the midst of drawing the page.
  await slices.rest();
  const phrase = overOne();
  if (phrase === null) return null;
  await slices.rest();
  const moved = overFour(phrase);
  if (moved === null) return null;
  await slices.rest();
  const before = firstLine(engraver.engrave, phrase);
  await slices.rest();
  return [before, firstLine(engraver.engrave, moved)];
}

function usePair(): Pair | null {
  const engraver = useEngraver();
  const [pair, setPair] = useState<Pair | null>(null);
  useEffect(() => {
    if (engraver === null || engraver === 'failed') return;
    let shown = true;
    const slices = new Slices(() => shown);
    void unlessUnwanted(() => drawPair(engraver, slices)).then((found) => {
      if (shown) setPair(found);
    });
    return () => {
      shown = false;
    };
  }, [engraver]);
  return pair;
}

/** A phrase that moves from I to IV and keeps its degrees. */
export function MovedPhrase(props: {
  /** Stands here until both lines are drawn. */
  readonly meanwhile: ReactNode;
}) {
  const [over, setOver] = useState<'I' | 'IV'>('I');
  useEffect(() => {
    const timer = setTimeout(() => setOver('IV'), STANDS);
    return () => clearTimeout(timer);
  }, []);
  const lines = usePair();
  if (lines === null) return props.meanwhile;
  const at = (mine: 'I' | 'IV') =>
    over === mine ? 'system-at' : `away ${mine === 'I' ? 'upper' : 'lower'}`;
  return (
    <FirstMusic over={over} move={() => setOver(over === 'I' ? 'IV' : 'I')}>
      <div className={`system ${at('I')}`}>
        <System svg={lines[0]} />
      </div>
      <div className={`system ${at('IV')}`}>
        <System svg={lines[1]} />
      </div>
    </FirstMusic>
  );
}
