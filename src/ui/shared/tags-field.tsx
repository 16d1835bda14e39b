import { useId, useState } from 'react';
import { plainLine } from './plain-text';

/** The tags of a text: divided by commas, without blanks around them, each once. */
export function readTags(text: string): readonly string[] {
  const tags = plainLine(text)
    .split(',')
    .map((t) => plainLine(t.trim().replaceAll(/\s+/gu, ' ').slice(0, 100)));
  return [...new Set(tags.filter((t) => t !== ''))].slice(0, 100);
}

function sameTags(a: readonly string[], b: readonly string[]): boolean {
  return a.length === b.length && a.every((t, i) => t === b[i]);
}

/** Keeps what is typed, commas and blanks included, as long as it says the tags there are. */
export function TagsField(props: {
  readonly tags: readonly string[];
  readonly onChange: (tags: readonly string[]) => void;
}) {
  const id = useId();
  const [typed, setTyped] = useState<string | null>(null);
  const keeps = typed !== null && sameTags(readTags(typed), props.tags);
  return (
    <p className="field">
      <label htmlFor={id}>Tags</label>
      <input
        id={id}
        type="text"
        value={keeps ? typed : props.tags.join(', ')}
        autoComplete="off"
        maxLength={5_000}
        aria-describedby={`${id}-hint`}
        onChange={(e) => {
          setTyped(e.target.value);
          const tags = readTags(e.target.value);
          if (!sameTags(tags, props.tags)) props.onChange(tags);
        }}
        onBlur={() => setTyped(null)}
      />
      <small id={`${id}-hint`} className="quiet">
        divided by commas
      </small>
    </p>
  );
}
