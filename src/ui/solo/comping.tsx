import { useEffect, useId, useMemo, useState } from 'react';
import { usualFeel } from '../../core/backing/accompany';
import { compPart } from '../../core/backing/comp-part';
import { isRhythm } from '../../core/backing/rhythm';
import type { Phrase } from '../../core/phrase/types';
import { useApp } from '../frame/app-context';
import { keepAsNew } from '../frame/keep-as-new';
import { listeningNow, setListening } from '../frame/listen/listening';
import { PhraseSelect } from '../frame/phrase-select';
import { usePhrasesOf } from '../frame/phrases-of';
import type { RouteOf } from '../frame/route';
import { ScoreView } from '../score/score-view';
import { titleOf } from '../shared/facts';

interface Props {
  readonly solo: Phrase;
  readonly route: RouteOf<'solo'>;
}

/** Accompaniment beneath a solo: the strokes of a rhythm phrase over every chord of the form. */
export function Comping({ solo, route }: Props) {
  const app = useApp();
  const id = useId();
  const [chosen, setChosen] = useState('');
  const ids = useMemo(() => (chosen === '' ? [] : [chosen]), [chosen]);
  const { phrases } = usePhrasesOf(ids);
  const rhythm = phrases?.find((p) => p.id === chosen) ?? null;
  const [born] = useState(() => ({ id: app.newId(), now: app.now() }));
  const made = useMemo(() => {
    if (rhythm === null) return null;
    return compPart(solo, rhythm, { ...born, title: `Comping for ${titleOf(solo)}` });
  }, [solo, rhythm, born]);
  const part = made?.ok ? made.value : null;
  useHeardWith(solo, part?.phrase ?? null);
  const keep = (phrase: Phrase) => {
    const now = app.now();
    const meta = { ...phrase.meta, created: now, modified: now };
    void keepAsNew(app, { ...phrase, id: app.newId(), meta }, route);
  };
  return (
    <section className="comping" aria-labelledby={`${id}-title`}>
      <h2 id={`${id}-title`}>Comping beneath it</h2>
      <label htmlFor={id}>
        <span>Strokes of</span>{' '}
        <PhraseSelect
          id={id}
          value={chosen === '' ? null : chosen}
          none="none"
          which={isRhythm}
          onChange={setChosen}
        />
      </label>
      {made !== null && !made.ok ? (
        <p role="status">It cannot go beneath it: {made.problems[0]?.message}.</p>
      ) : null}
      {part === null ? null : (
        <>
          <p className="quiet">
            Grips of the chords, led from one to the next. The band plays them in place of its own.
            {part.silent.length === 0
              ? ''
              : ` The rhythm has no stroke over ${part.silent.join(', ')}.`}
          </p>
          <ScoreView
            phrase={part.phrase}
            label="Notes of the comping"
            staves="both"
            degrees="chord"
          />
          <p className="buttons">
            <button type="button" onClick={() => keep(part.phrase)}>
              Keep the comping as a phrase
            </button>
          </p>
        </>
      )}
    </section>
  );
}

/** The band plays a part in place of its own chords as long as it is shown. */
function useHeardWith(solo: Phrase, part: Phrase | null): void {
  const feel = usualFeel(solo);
  useEffect(() => {
    if (part === null) return;
    const { band } = listeningNow();
    setListening({ band: { feel: band?.feel ?? feel, seed: band?.seed ?? 1, rhythm: part } });
    return () => {
      const after = listeningNow().band;
      if (after?.rhythm === part) setListening({ band: { ...after, rhythm: null } });
    };
  }, [part, feel]);
}
