import { useEffect, useRef, useState } from 'react';

export interface RecordRow {
  readonly id: string;
  readonly title: string;
  readonly href: string;
  /** What is said beside it. */
  readonly facts: string;
  /** Where its earlier versions are, where it has no page of its own. */
  readonly past?: string;
  /** What is removed, as a screen reader says it after 'Remove'. */
  readonly removes: string;
  /** @returns whether it is gone. */
  readonly remove: () => Promise<boolean>;
}

/**
 * Records by their titles, each with a way to remove it. What is removed hands the focus on: to the row
 * that takes its place, to the last one, or to the heading where none is left.
 * @param headingId Of the heading above the list, which can take the focus.
 */
export function RecordList(props: {
  readonly rows: readonly RecordRow[];
  readonly headingId: string;
}) {
  const { rows, headingId } = props;
  const list = useRef<HTMLUListElement>(null);
  const [gone, setGone] = useState<{ readonly id: string; readonly index: number } | null>(null);
  useEffect(() => {
    if (gone === null || rows.some((r) => r.id === gone.id)) return;
    const left = list.current?.querySelectorAll('a') ?? [];
    const next = left[Math.min(gone.index, left.length - 1)];
    (next ?? document.getElementById(headingId))?.focus();
    setGone(null);
  }, [gone, rows, headingId]);
  const remove = async (row: RecordRow, index: number) => {
    if (await row.remove()) setGone({ id: row.id, index });
  };
  return (
    <ul className="lesson-list" ref={list}>
      {rows.map((row, index) => (
        <li key={row.id}>
          <a href={row.href}>{row.title}</a>
          <span className="quiet">{row.facts}</span>
          {row.past === undefined ? null : (
            <a href={row.past}>
              Earlier versions <span className="unseen">of {row.title}</span>
            </a>
          )}
          <button type="button" onClick={() => void remove(row, index)}>
            Remove <span className="unseen">{row.removes}</span>
          </button>
        </li>
      ))}
    </ul>
  );
}

/** A list with its heading, not shown where there is nothing, but for what was removed from it just now. */
export function RecordSection(props: {
  readonly id: string;
  readonly title: string;
  readonly rows: readonly RecordRow[];
}) {
  const { id, title, rows } = props;
  const had = useRef(false);
  if (rows.length > 0) had.current = true;
  if (!had.current) return null;
  return (
    <section aria-labelledby={id}>
      <h2 id={id} tabIndex={-1}>
        {title}
      </h2>
      <RecordList rows={rows} headingId={id} />
      {rows.length === 0 ? <p className="quiet">None is left.</p> : null}
    </section>
  );
}
