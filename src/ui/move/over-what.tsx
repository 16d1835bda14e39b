import { useMemo } from 'react';
import { layLane, storeLane } from '../../core/move/lane';
import type { Phrase } from '../../core/phrase/types';
import { formatChord } from '../../core/theory/chord';
import { parseChordOrRoman, romanSign } from '../../core/theory/roman';
import { useApp } from '../frame/app-context';
import type { Draft } from '../frame/draft';
import { editPhrase } from '../frame/edit-phrase';
import { editsOf } from '../frame/edits';
import { titleOf } from '../shared/facts';
import { chordName } from '../shared/words';

/** Chords that a line without any is most often played over. */
const OVER = {
  major: ['I', 'I7', 'Imaj7', 'IV', 'V7'],
  minor: ['i', 'i7', 'iv', 'V7'],
  blues: ['I7', 'IV7', 'V7'],
} as const;

/** Where a phrase names no chord a move over chords leaves its notes where they are in the key (M5): asks which it is. */
export function OverWhat({ draft }: { readonly draft: Draft }) {
  const app = useApp();
  const { phrase } = draft;
  const offers = useMemo(() => offersFor(phrase), [phrase]);
  if (phrase.chords.some((c) => c.symbol !== null)) return null;
  const lay = (offer: Offer) => {
    editPhrase(app, draft, offer.phrase, 'chord');
    app.notices.done(`“${titleOf(phrase)}” now stands over ${offer.name}.`, {
      label: 'Undo',
      run: () => {
        // Only while nothing else was done since: the step taken back must be this one.
        const last = editsOf(app).history(phrase.id).steps.at(-1);
        if (last?.command === 'phrase.chord') editsOf(app).undo(phrase.id);
      },
    });
    // The button that was pressed leaves.
    document.getElementById('where')?.focus({ preventScroll: true });
  };
  return (
    <section aria-labelledby="over-what" className="ways-out over-what">
      <h3 id="over-what">Which chord is it played over?</h3>
      <p>
        The phrase names no chord, so its notes are counted from the key and stay where they are.
        Name the chord it is played over, and they move with it.
      </p>
      <div className="buttons">
        {offers.map((offer) => (
          <button key={offer.name} type="button" onClick={() => lay(offer)}>
            <span className="unseen">It is played over </span>
            {offer.sign} <small>{offer.name}</small>
          </button>
        ))}
      </div>
    </section>
  );
}

interface Offer {
  readonly sign: string;
  readonly name: string;
  /** The same notes over that chord. */
  readonly phrase: Phrase;
}

function offersFor(phrase: Phrase): readonly Offer[] {
  return OVER[phrase.key.mode].flatMap((text): Offer[] => {
    const chord = parseChordOrRoman(text, phrase.key);
    if (!chord.ok) return [];
    const laid = layLane(phrase, [[chord.value]]);
    if (!laid.ok) return [];
    return [
      {
        sign: romanSign(chord.value, phrase.key),
        name: chordName(formatChord(chord.value)),
        phrase: { ...phrase, chords: storeLane(laid.value) },
      },
    ];
  });
}
