import { useEffect, useState } from 'react';
import type { Phrase } from '../../../core/phrase/types';
import type { Listening } from '../listen/listening';
import { bandRests } from '../listen/playing';
import { RhythmChoice } from '../listen/rhythm-choice';

type Band = NonNullable<Listening['band']>;

/** Another number is another band of the same feel; what it comps with is its own or one of the user's rhythms. */
export function BandFields(props: {
  readonly phrase: Phrase;
  readonly band: Band;
  readonly onChange: (band: Band) => void;
}) {
  const { phrase, band, onChange } = props;
  const { seed, rhythm } = band;
  return (
    <>
      <span>Number {seed}</span>
      <button type="button" onClick={() => onChange({ ...band, seed: seed + 1 })}>
        Play it another way
      </button>
      {seed > 1 ? (
        <button type="button" onClick={() => onChange({ ...band, seed: seed - 1 })}>
          As before
        </button>
      ) : null}
      <RhythmChoice
        value={rhythm?.id ?? null}
        onChange={(chosen) => onChange({ ...band, rhythm: chosen })}
      />
      <RestsNote phrase={phrase} band={band} />
    </>
  );
}

/** Says where a rhythm of the user's cannot be played. */
function RestsNote({ phrase, band }: { readonly phrase: Phrase; readonly band: Band }) {
  const [words, setWords] = useState('');
  useEffect(() => {
    let wanted = true;
    setWords('');
    bandRests(phrase, band).then(
      (rests) => {
        if (!wanted || rests === null || rests.over.length === 0) return;
        setWords(
          rests.all
            ? 'It goes over none of these chords, or has bars of another length: the band plays its own.'
            : `It cannot be moved onto ${rests.over.join(', ')}: there the chords rest.`,
        );
      },
      // What plays tells why the band did not come.
      () => {},
    );
    return () => {
      wanted = false;
    };
  }, [phrase, band]);
  return (
    <span className="quiet" role="status">
      {words}
    </span>
  );
}
