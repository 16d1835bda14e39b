import type { ReactNode } from 'react';

/** What this is, in two sentences, beside the music that shows it. */
export function FirstWords(props: { readonly putAway: () => void; readonly children: ReactNode }) {
  return (
    <section className="first-visit" aria-labelledby="first-visit">
      <div>
        <h2 id="first-visit">A workbook for phrases</h2>
        <p>
          Degreewise keeps the phrases you play together with what each note is: root, flat third,
          sixth. Move one to another chord or key, and every note keeps what it is.
        </p>
        <button type="button" onClick={props.putAway}>
          Put this away
        </button>
      </div>
      <div className="first-visit-music">{props.children}</div>
    </section>
  );
}

/** The phrase that moves, with its words. */
export function FirstMusic(props: {
  /** Its lines, one over the other. */
  readonly children: ReactNode;
  readonly over: 'I' | 'IV';
  /** Null while nothing can be moved yet. */
  readonly move: (() => void) | null;
}) {
  return (
    <figure className="moved-phrase">
      <div aria-hidden="true">{props.children}</div>
      <figcaption>
        <p>Over I (A7), and over IV (D7): other notes, the same degrees.</p>
        <button type="button" disabled={props.move === null} onClick={props.move ?? undefined}>
          {props.over === 'I' ? 'Move it to IV' : 'Move it back to I'}
        </button>
      </figcaption>
    </figure>
  );
}
