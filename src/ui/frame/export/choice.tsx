/** One of a few values, with its label. */
export function Choice<V extends string>(props: {
  readonly label: string;
  readonly value: V;
  readonly values: readonly V[];
  readonly words: Readonly<Record<V, string>>;
  readonly onChange: (value: V) => void;
}) {
  const { label, value, values, words, onChange } = props;
  return (
    <label>
      <span>{label}</span>
      <select
        value={value}
        onChange={(e) => onChange(values.find((v) => v === e.target.value) ?? value)}
      >
        {values.map((v) => (
          <option key={v} value={v}>
            {words[v]}
          </option>
        ))}
      </select>
    </label>
  );
}
