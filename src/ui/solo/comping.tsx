import { useId, useMemo, useState } from 'react';
import { compPart } from '../../core/backing/comp-part';
import { isRhythm } from '../../core/backing/rhythm';
import type { Phrase } from '../../core/phrase/types';
import { useApp } from '../frame/app-context';
import { keepAsNew } from '../frame/keep-as-new';
import type { UsePlayer } from '../frame/listen/use-player';
import { PhraseSelect } from '../frame/phrase-select';
import { usePhrasesOf } from '../frame/phrases-of';
import type { RouteOf } from '../frame/route';
import { navigate } from '../frame/use-route';
import type { Look } from '../score/look-fields';
import { ScoreView } from '../score/score-view';
import { titleOf } from '../shared/facts';
import { useHeardWith } from './use-heard-with';

interface Props {
  readonly solo: Phrase;
  readonly player: UsePlayer;
  readonly look: Look;
  readonly route: RouteOf<'solo'>;
}

/** Accompaniment beneath a solo: the strokes of a rhythm phrase over every chord of the form. */
export function Comping({ solo, player, look, route }: Props) {
  const app = useApp();
  const id = useId();
  // In the address, so that it is there again when somebody comes back to the page.
  const chosen = route.query.comping ?? '';
  const { made, gone } = useMade(solo, chosen);
  const part = made?.ok ? made.value : null;
  useHeardWith(player, solo, part?.phrase ?? null, chosen);
  const keep = (phrase: Phrase) => {
    const now = app.now();
    const meta = { ...phrase.meta, created: now, modified: now };
    void keepAsNew(app, { ...phrase, id: app.newId(), meta }, route);
  };
  return (
    <section
      className={part === null ? 'comping comping-none' : 'comping'}
      aria-labelledby={`${id}-title`}
    >
      <h2 id={`${id}-title`}>Comping beneath the solo</h2>
      <p className="quiet">
        Choose a phrase that strikes chords or double stops. Its strokes go over the chords of the
        form, bar after bar.
      </p>
      <label htmlFor={id}>
        <span>Rhythm</span>
        <PhraseSelect
          id={id}
          value={chosen === '' ? null : chosen}
          none="none"
          nothing="none: no such phrase in the library"
          which={isRhythm}
          onChange={(comping) =>
            navigate({ ...route, query: { ...route.query, comping } }, 'replace')
          }
        />
      </label>
      <p role="status">
        {gone ? 'The rhythm that was chosen is not in the library any more.' : null}
        {made?.ok === false
          ? `It cannot go beneath this solo: ${made.problems[0]?.message}. Choose another rhythm.`
          : null}
        {part === null ? null : inWords(part.silent, player.listening.band !== null)}
      </p>
      {part === null ? null : (
        <>
          <ScoreView
            phrase={part.phrase}
            label="Notes of the comping"
            staves={look.staves}
            degrees={look.degrees}
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

/** The part that comes of the chosen rhythm, or why none does; null while there is nothing to say. */
function useMade(solo: Phrase, chosen: string) {
  const app = useApp();
  const ids = useMemo(() => (chosen === '' ? [] : [chosen]), [chosen]);
  const { phrases, gone } = usePhrasesOf(ids);
  const rhythm = phrases?.find((p) => p.id === chosen) ?? null;
  const [born] = useState(() => ({ id: app.newId(), now: app.now() }));
  const made = useMemo(
    () =>
      rhythm === null
        ? null
        : compPart(solo, rhythm, { ...born, title: `Comping for ${titleOf(solo)}` }),
    [solo, rhythm, born],
  );
  return gone.length > 0 ? { made: null, gone: true } : { made, gone: false };
}

function inWords(silent: readonly string[], heard: boolean): string {
  const grips = 'Grips of the chords that move little from one to the next.';
  const rests = silent.length === 0 ? '' : ` No stroke falls on ${silent.join(', ')}.`;
  return `${grips}${rests} ${
    heard ? 'The band plays them in place of its own.' : 'Choose a band to hear them.'
  }`;
}
