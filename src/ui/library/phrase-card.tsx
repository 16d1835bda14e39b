import { memo } from 'react';
import type { PhraseFacts } from '../../core/library/facts';
import { areVersions, versionOf } from '../../core/library/versions';
import { degreeSign, formatDegree } from '../../core/theory/degree';
import type { PhraseEntry } from '../../storage/types';
import { usePhrase } from '../frame/app-context';
import { addressOf } from '../frame/route';
import { chordName, count, keyName, levelName } from '../shared/words';
import { CardScore } from './card-score';

/** More chords than this are told as a number. */
const MOST_CHORDS = 8;

interface Props {
  readonly facts: PhraseFacts;
  readonly stored: PhraseEntry;
  /** Place in the list, from 1, of so many: the cards around it may not be there. */
  readonly place: number;
  readonly all: number;
  readonly chosen: boolean;
  /** The query it was found by; null where none was asked. */
  readonly asked: string | null;
  readonly onChoose: (id: string, chosen: boolean) => void;
}

/** One phrase of the library: what it is called, what it is, how it begins, what it is made of. */
export const PhraseCard = memo(function PhraseCard(props: Props) {
  const { facts, stored, place, all, chosen, asked, onChoose } = props;
  const { id } = facts;
  const title = facts.title.trim() === '' ? 'Untitled' : facts.title;
  return (
    <li className={chosen ? 'card card-chosen' : 'card'} aria-posinset={place} aria-setsize={all}>
      <div className="card-head">
        <h2>
          <a href={addressOf({ page: 'phrase', id, query: {} })}>{title}</a>
        </h2>
        <label className="choose">
          <input
            type="checkbox"
            checked={chosen}
            onChange={(e) => onChoose(id, e.target.checked)}
            aria-label={`Choose ${title}`}
          />
        </label>
      </div>
      <p className="card-what">
        <strong>{keyName(facts.key)}</strong>
        {facts.chords.length > 0 && <span className="card-chords">{chordsText(facts)}</span>}
        <span className="quiet">
          {count(facts.bars, 'bar')}
          {facts.level !== null && `, level ${levelName(facts.level)}`}
          {facts.styleOf !== null && `, ${facts.styleOf}`}
        </span>
      </p>
      <OtherVersion of={stored} />
      <CardScore stored={stored} asked={asked} />
      <dl className="card-facts">
        <dt className="unseen">Degrees</dt>
        <dd>
          <ul className="degrees">
            {facts.degrees.map((d) => (
              <li key={formatDegree(d)}>{degreeSign(d)}</li>
            ))}
          </ul>
        </dd>
        {facts.tags.length > 0 && (
          <>
            <dt className="unseen">Tags</dt>
            <dd className="quiet">{facts.tags.join(' · ')}</dd>
          </>
        )}
      </dl>
    </li>
  );
});

function chordsText(f: PhraseFacts): string {
  const names = f.chords.slice(0, MOST_CHORDS).map(chordName).join(' ');
  const more = f.chords.length - MOST_CHORDS;
  return more > 0 ? `${names} and ${more} more` : names;
}

/** Says where another version of the phrase is here, too: one may be enough. */
function OtherVersion({ of }: { readonly of: PhraseEntry }) {
  const { id, identity } = of;
  const other = usePhrase(versionOf({ ...identity, id }) ?? '');
  if (other === null || !areVersions({ ...identity, id }, { ...other.identity, id: other.id }))
    return null;
  return (
    <p className="quiet">
      Here in two versions:{' '}
      <a href={addressOf({ page: 'compare', a: other.id, b: id, query: {} })}>
        see what differs<span className="unseen"> of {identity.title}</span>
      </a>
    </p>
  );
}
