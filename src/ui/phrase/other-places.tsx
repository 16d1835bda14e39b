import { useEffect, useMemo, useState } from 'react';
import {
  type PartElsewhere,
  type PlaceElsewhere,
  partsElsewhere,
  placesElsewhere,
} from '../../core/neck/elsewhere';
import { checkPlayable } from '../../core/neck/playable';
import type { Phrase } from '../../core/phrase/types';
import { notesOf } from '../../core/phrase/walk';
import type { Draft } from '../frame/draft';
import type { RouteOf } from '../frame/route';
import { capital, count } from '../shared/words';
import './other-places.css';
import { PlaceItem } from './place-item';
import { partName } from './place-words';

/** Other areas shown for a whole phrase, and for each part of a long one. */
const MOST = 5;
const MOST_OF_PART = 3;

/** The other places on the neck, sought when they are asked for; one of them can be kept. */
export function OtherPlaces(props: { readonly draft: Draft; readonly route: RouteOf<'phrase'> }) {
  const { draft, route } = props;
  const { phrase } = draft;
  const asked = route.query.places === 'yes';
  const [open, setOpen] = useState(asked);
  // The address may ask for it while the page is open.
  const [before, setBefore] = useState(asked);
  if (asked !== before) {
    setBefore(asked);
    if (asked) setOpen(true);
  }
  // Kept while places are sought anew, since one choice often follows another.
  const [openPart, setOpenPart] = useState<number | null>(null);
  return (
    <details className="other-places" open={open} onToggle={(e) => setOpen(e.currentTarget.open)}>
      <summary>
        <h2>Other places on the neck</h2>
      </summary>
      {open ? (
        <FoundPlaces
          draft={draft}
          route={route}
          openPart={openPart}
          setOpenPart={setOpenPart}
          key={musicKey(phrase)}
        />
      ) : null}
    </details>
  );
}

/** Changes with the notes, not with what is said about them. */
function musicKey(p: Phrase): string {
  const places = notesOf(p).map(({ note }) => `${note.id} ${note.string}/${note.fret}`);
  return `${p.id} ${places.sort().join()}`;
}

interface Found {
  readonly whole: readonly PlaceElsewhere[];
  /** Null while they are sought; none for a phrase that is one part. */
  readonly parts: readonly PartElsewhere[] | null;
}

interface FoundProps {
  readonly draft: Draft;
  readonly route: RouteOf<'phrase'>;
  readonly openPart: number | null;
  readonly setOpenPart: (part: number | null) => void;
}

function FoundPlaces({ draft, route, openPart, setOpenPart }: FoundProps) {
  const { phrase } = draft;
  const [keepFirst, setKeepFirst] = useState(false);
  const found = useFound(phrase, keepFirst);
  const faults = useMemo(
    () => (found?.whole.length === 0 ? checkPlayable(phrase) : []),
    [found, phrase],
  );
  const first = <KeepFirst checked={keepFirst} onChange={setKeepFirst} />;
  if (found === null) {
    return (
      <>
        {first}
        <p role="status">Looking along the neck …</p>
      </>
    );
  }
  const { whole, parts } = found;
  return (
    <>
      {first}
      <p role="status">
        {summary(
          whole.length,
          faults.map((f) => f.message),
        )}
      </p>
      {whole.length === 0 ? null : (
        <ol className="places">
          {whole.map((place, i) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: the list is made anew as a whole
            <PlaceItem key={i} draft={draft} route={route} place={place} bars={null} />
          ))}
        </ol>
      )}
      {parts === null || parts.length === 0 ? null : (
        <section className="place-parts" aria-label="Part by part">
          <h3>Part by part</h3>
          <p>One part moves, the others stay where they are.</p>
          {parts.map((part, i) => (
            <details
              key={part.bars[0]}
              open={openPart === i}
              onToggle={(e) => {
                if (e.currentTarget.open) setOpenPart(i);
                else if (openPart === i) setOpenPart(null);
              }}
            >
              <summary>
                {partName(part.bars)}: {placesFound(part.places.length)}
              </summary>
              {openPart === i && part.places.length > 0 ? (
                <ol className="places">
                  {part.places.map((place, k) => (
                    <PlaceItem
                      // biome-ignore lint/suspicious/noArrayIndexKey: the list is made anew as a whole
                      key={k}
                      draft={draft}
                      route={route}
                      place={place}
                      bars={part.bars}
                    />
                  ))}
                </ol>
              ) : null}
            </details>
          ))}
        </section>
      )}
    </>
  );
}

function KeepFirst(props: {
  readonly checked: boolean;
  readonly onChange: (checked: boolean) => void;
}) {
  return (
    <label className="keep-first">
      <input
        type="checkbox"
        checked={props.checked}
        onChange={(e) => props.onChange(e.currentTarget.checked)}
      />{' '}
      The first note stays where it is
    </label>
  );
}

/** A long phrase takes a moment: what is being looked for, and what was found, is on screen first. */
function useFound(phrase: Phrase, keepFirst: boolean): Found | null {
  const [sought] = useState(phrase);
  const [found, setFound] = useState<Found | null>(null);
  useEffect(() => {
    setFound(null);
    let timer = setTimeout(() => {
      const whole = placesElsewhere(sought, MOST, keepFirst);
      setFound({ whole, parts: null });
      timer = setTimeout(() => {
        const parts = keepFirst ? [] : partsElsewhere(sought, MOST_OF_PART);
        setFound({ whole, parts: parts.length > 1 ? parts : [] });
      });
    });
    return () => clearTimeout(timer);
  }, [sought, keepFirst]);
  return found;
}

function summary(found: number, faults: readonly string[]): string {
  if (found > 0) return `${capital(placesFound(found))}.`;
  if (faults.length === 0) return 'There is no other area of the neck for the whole phrase.';
  return `No place keeps all the rules of the neck: ${faults.join('; ')}.`;
}

function placesFound(n: number): string {
  if (n === 0) return 'no other place';
  return n === 1 ? '1 other place' : `${count(n, 'other place')}, the easiest first`;
}
