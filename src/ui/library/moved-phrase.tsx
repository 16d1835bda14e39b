import { useEffect, useState } from 'react';
import { movePhrase } from '../../core/move/move';
import type { Phrase } from '../../core/phrase/types';
import { parseChordOrRoman } from '../../core/theory/roman';
import { analyse } from '../../core/understand/analyse';
import { readQuick } from '../../io/quick/read';
import { degreeLabels } from '../../publish/degree-labels';
import { type Engraver, useEngraver } from '../score/engraver';
import { System } from '../score/system';
import { Slices, unlessUnwanted } from './in-slices';

/** Of our own invention: the flat third slid to the third, the sixth, and the flat seventh. */
const TEXT = '[A] {A7} e 4:7 3:5 3:6 2:5 2:7 2:8 q 3:6';
/** Milliseconds that the phrase stands over I before it moves. */
const STANDS = 2_500;
const LOOK = { width: 380, size: 7.4, tempo: false, barNumbers: false } as const;

/** A phrase over I; null where the text cannot be read (tests read it). */
export function overOne(): Phrase | null {
  const read = readQuick(TEXT, { id: 'first-visit', now: '2026-11-27T00:00:00Z' });
  return read.ok ? read.value : null;
}

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
  const phrase = overOne();
  if (phrase === null) return null;
  await slices.rest();
  const moved = overFour(phrase);
  if (moved === null) return null;
  const draw = (p: Phrase) => {
    const degrees = degreeLabels(analyse(p), 'chord');
    return engraver.engrave(p, { ...LOOK, ...(degrees === null ? {} : { degrees }) })[0]?.svg ?? '';
  };
  await slices.rest();
  const before = draw(phrase);
  await slices.rest();
  return [before, draw(moved)];
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
export function MovedPhrase() {
  const [over, setOver] = useState<'I' | 'IV'>('I');
  useEffect(() => {
    const timer = setTimeout(() => setOver('IV'), STANDS);
    return () => clearTimeout(timer);
  }, []);
  const lines = usePair();
  if (lines === null) return null;
  const at = (mine: 'I' | 'IV') =>
    over === mine ? 'system-at' : `away ${mine === 'I' ? 'upper' : 'lower'}`;
  return (
    <figure className="moved-phrase">
      <div aria-hidden="true">
        <div className={`system ${at('I')}`}>
          <System svg={lines[0]} />
        </div>
        <div className={`system ${at('IV')}`}>
          <System svg={lines[1]} />
        </div>
      </div>
      <figcaption>
        <p>Over I (A7), and over IV (D7): other notes, the same degrees.</p>
        <button type="button" onClick={() => setOver(over === 'I' ? 'IV' : 'I')}>
          {over === 'I' ? 'Move it to IV' : 'Move it back to I'}
        </button>
      </figcaption>
    </figure>
  );
}
