import { useId, useState } from 'react';

/** A field whose text is taken as soon as it makes sense; until then it says what is wrong. */
export function TypedField(props: {
  readonly label: string;
  readonly value: string;
  /** What is wrong with a text; null where it is right. */
  readonly read: (text: string) => string | null;
  readonly onChange: (text: string) => void;
}) {
  const { label, value, read, onChange } = props;
  const [typed, setTyped] = useState<string | null>(null);
  const id = useId();
  const wrong = typed === null ? null : read(typed);
  return (
    <label>
      <span>{label}</span>
      <input
        type="text"
        value={typed ?? value}
        aria-invalid={wrong !== null}
        aria-describedby={id}
        onChange={(e) => {
          const text = e.target.value;
          const fine = read(text) === null;
          setTyped(fine ? null : text);
          if (fine) onChange(text);
        }}
      />
      <span id={id} className="quiet">
        {wrong ?? ''}
      </span>
    </label>
  );
}
