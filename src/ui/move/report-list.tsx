import type { NoteInWords, ReportInWords } from './report-words';

/** The report in plain words: first what needs saying, every note on request. */
export function ReportList({ words }: { readonly words: ReportInWords }) {
  const marked = words.notes.filter((n) => n.marked);
  return (
    <section aria-labelledby="report" className="report">
      <h3 id="report">What changed and why</h3>
      {words.unplayable.length === 0 ? null : (
        <div className="problem">
          <p>The result breaks a rule of the neck and cannot be played as it stands:</p>
          <ul>
            {words.unplayable.map((u) => (
              <li key={u}>{u}</li>
            ))}
          </ul>
        </div>
      )}
      <ul>
        {words.general.map((g) => (
          <li key={g.text} className={g.lost ? 'lost' : undefined}>
            {g.lost ? <b>Not kept: </b> : null}
            {g.text}
          </li>
        ))}
      </ul>
      {marked.length === 0 ? null : <NoteTable notes={marked} caption="Framed notes" />}
      <details>
        <summary>Every note</summary>
        <NoteTable notes={words.notes} caption="Every note" />
      </details>
    </section>
  );
}

function NoteTable(props: { readonly notes: readonly NoteInWords[]; readonly caption: string }) {
  const hasReasons = props.notes.some((n) => n.reasons.length > 0);
  return (
    <table className="note-table">
      <caption className="unseen">{props.caption}</caption>
      <thead>
        <tr>
          <th scope="col">Where</th>
          <th scope="col">Before</th>
          <th scope="col">After</th>
          <th scope="col">Degree</th>
          {hasReasons ? <th scope="col">Why</th> : null}
        </tr>
      </thead>
      <tbody>
        {props.notes.map((n) => (
          <tr key={n.id}>
            <th scope="row">{n.marked ? <span className="mark">{n.place}</span> : n.place}</th>
            <td data-name="Before">{n.before}</td>
            <td data-name="After">{n.after}</td>
            <td data-name="Degree">{n.degree}</td>
            {hasReasons ? (
              <td>
                {n.reasons.map((r) => (
                  <span key={r.text} className="reason">
                    {r.lost ? <b>Not kept: </b> : null}
                    {r.text}
                  </span>
                ))}
              </td>
            ) : null}
          </tr>
        ))}
      </tbody>
    </table>
  );
}
