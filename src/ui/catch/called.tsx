import { useId } from 'react';
import type { Phrase } from '../../core/phrase/types';
import { plainLine } from '../shared/plain-text';
import { TagsField } from '../shared/tags-field';
import type { Called } from './corrections';

/** Longest title in characters, as on the page of the phrase. */
const MOST = 500;

interface CalledProps {
  readonly meta: Phrase['meta'];
  readonly onCall: (called: Called) => void;
}

/** What a phrase is called and sorted under, as it is proposed until its player says otherwise. */
export function CalledFields({ meta, onCall }: CalledProps) {
  const id = useId();
  const { title, tags } = meta;
  return (
    <div className="caught-called">
      <p className="field">
        <label htmlFor={id}>Title</label>
        <input
          id={id}
          type="text"
          value={title}
          autoComplete="off"
          maxLength={MOST}
          onChange={(e) => onCall({ title: plainLine(e.target.value), tags })}
        />
      </p>
      <TagsField tags={tags} onChange={(t) => onCall({ title, tags: t })} />
    </div>
  );
}
