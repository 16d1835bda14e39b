import { useId, useMemo, useState } from 'react';
import { type CompPart, compPart } from '../../core/backing/comp-part';
import { isRhythm } from '../../core/backing/rhythm';
import type { Phrase } from '../../core/phrase/types';
import { useApp } from '../frame/app-context';
import { useExport } from '../frame/export/use-export';
import { keepAsNew } from '../frame/keep-as-new';
import type { UsePlayer } from '../frame/listen/use-player';
import { PhraseSelect } from '../frame/phrase-select';
import { usePhrasesOf } from '../frame/phrases-of';
import type { RouteOf } from '../frame/route';
import { navigate } from '../frame/use-route';
import type { Look } from '../score/look-fields';
import { ScoreView } from '../score/score-view';
import { titleOf } from '../shared/facts';
import { useKept } from '../shared/use-kept';
import { useHeardWith } from './use-heard-with';

/** The accompaniment of a solo: what was chosen for it, and what came of that. */
export interface CompingMade {
  /** Id of the rhythm; empty where none is chosen. */
  readonly chosen: string;
  readonly choose: (rhythm: string) => void;
  readonly part: CompPart | null;
  /** Why none came of it, without a full stop. */
  readonly refused: string | null;
  readonly gone: boolean;
  /** Whether it stands on the lines of the solo, or apart beneath it. */
  readonly joined: boolean;
  readonly setJoined: (joined: boolean) => void;
}

/** The choice stands in the address, so that it is there again when somebody comes back to the page. */
export function useComping(solo: Phrase, route: RouteOf<'solo'>): CompingMade {
  const chosen = route.query.comping ?? '';
  const { made, gone } = useMade(solo, chosen);
  const [joined, setJoined] = useKept('solo.comping-joined', true);
  return {
    chosen,
    choose: (comping) => navigate({ ...route, query: { ...route.query, comping } }, 'replace'),
    part: made?.ok ? made.value : null,
    refused: made?.ok === false ? (made.problems[0]?.message ?? '') : null,
    ...{ gone, joined, setJoined },
  };
}

interface Props {
  readonly solo: Phrase;
  readonly comping: CompingMade;
  readonly player: UsePlayer;
  readonly look: Look;
  readonly route: RouteOf<'solo'>;
}

/** Accompaniment beneath a solo: the strokes of a rhythm phrase over every chord of the form. */
export function Comping({ solo, comping, player, look, route }: Props) {
  const app = useApp();
  const id = useId();
  const { chosen, choose, part, refused, gone, joined, setJoined } = comping;
  useHeardWith(player, solo, part?.phrase ?? null, chosen);
  const { open: openExport, dialog } = useExport();
  const keep = (phrase: Phrase) => {
    const now = app.now();
    const meta = { ...phrase.meta, created: now, modified: now };
    void keepAsNew(app, { ...phrase, id: app.newId(), meta }, route);
  };
  return (
    <section
      className={part === null || joined ? 'comping comping-none' : 'comping'}
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
          onChange={choose}
        />
      </label>
      <p role="status">
        {gone ? 'The rhythm that was chosen is not in the library any more.' : null}
        {refused === null
          ? null
          : `It cannot go beneath this solo: ${refused}. Choose another rhythm.`}
        {part === null ? null : inWords(part.silent, player.listening.band !== null)}
      </p>
      {part === null ? null : (
        <>
          <p className="at-once">
            <label>
              <input
                type="checkbox"
                checked={joined}
                onChange={(e) => setJoined(e.target.checked)}
              />{' '}
              On the lines of the solo
            </label>
          </p>
          {joined ? null : (
            <ScoreView
              phrase={part.phrase}
              label="Notes of the comping"
              staves={look.staves}
              degrees={look.degrees}
            />
          )}
          <p className="buttons">
            <button type="button" onClick={() => keep(part.phrase)}>
              Keep the comping as a phrase
            </button>
            <button
              type="button"
              onClick={() => openExport([solo], { along: new Map([[solo.id, part.phrase]]) })}
            >
              Export both …
            </button>
          </p>
        </>
      )}
      {dialog}
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
