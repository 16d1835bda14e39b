/** Questions that show the language, each with what it finds. */
const EXAMPLES: readonly (readonly [text: string, finds: string])[] = [
  ['ferry', 'a word of the title, tags, style, chords, techniques'],
  ['5 6 b7 over IV', 'these degrees one after the other, over the IV chord'],
  ['5 .. b7+bend', 'a 5 and later a bent ♭7'],
  ['with:slide level:1..2', 'with a slide, and easy'],
  ['I7>IV7', 'a change from I7 to IV7 in the lane'],
  [
    'fits:IV7',
    'all of it can be moved to IV7 and sound as meant; fits:V>I: it ends with such a change',
  ],
  ['rhythm:e-e-q', 'two eighths and a quarter'],
  ['contour:>><', 'up, up, down'],
  ['frets:5..8 not with:bend', 'all within frets 5 to 8, and no bend'],
  ['first:5 last:R', 'begins on the 5, ends on the root'],
  ['key:minor or key:blues', 'one of the two'],
];

/** What can be typed, by examples to try. */
export function SearchHelp({ onTry }: { readonly onTry: (text: string) => void }) {
  return (
    <details>
      <summary>What can be asked</summary>
      <ul className="search-examples">
        {EXAMPLES.map(([text, finds]) => (
          <li key={text}>
            <button type="button" onClick={() => onTry(text)}>
              <code>{text}</code>
            </button>{' '}
            {finds}
          </li>
        ))}
      </ul>
      <p className="quiet">
        Parts side by side must all hold. Signs: <code>b</code> and <code>#</code> for ♭ and ♯,{' '}
        <code>..</code> any notes between, <code>?</code> one note, <code>&gt;6</code> a 6 above the
        note before, <code>+slide</code> how it is played. The arrow keys show what can come next.
      </p>
    </details>
  );
}
