import type { KeyboardEvent } from 'react';
import { useApp } from '../frame/app-context';
import type { Draft } from '../frame/draft';
import { editPhrase } from '../frame/edit-phrase';
import { plainLine } from '../shared/plain-text';

/** Longest title in characters, as on the page of the phrase. */
const MOST = 500;

interface TitleFieldProps {
  readonly draft: Draft;
  readonly id: string;
  /** Brings the focus back to the score. */
  readonly onDone: () => void;
}

/** The title, where it is read and where it is given: whoever writes twenty phrases names each on the way. */
export function TitleField({ draft, id, onDone }: TitleFieldProps) {
  const app = useApp();
  const { phrase } = draft;
  const back = (e: KeyboardEvent) => {
    if (e.nativeEvent.isComposing || (e.key !== 'Enter' && e.key !== 'Escape')) return;
    e.preventDefault();
    onDone();
  };
  const { title } = phrase.meta;
  return (
    // What lies beneath has the same words, and makes the field as high as they need.
    <div className="title-field" data-title={`${title} `}>
      <textarea
        id={id}
        rows={1}
        aria-label="Title"
        placeholder="Give it a title"
        autoComplete="off"
        maxLength={MOST}
        value={title}
        onChange={(e) => {
          const meta = {
            ...phrase.meta,
            title: plainLine(e.target.value.replaceAll(/\s*\n\s*/gu, ' ')),
          };
          editPhrase(app, draft, { ...phrase, meta }, 'title');
        }}
        onKeyDown={back}
      />
    </div>
  );
}
