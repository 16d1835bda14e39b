import { useMemo } from 'react';
import type { Phrase } from '../../core/phrase/types';
import { notesOf } from '../../core/phrase/walk';
import { analyse } from '../../core/understand/analyse';
import { legendOf } from '../../engrave/legend/legend';
import { degreeText } from '../../publish/degree-labels';
import type { Look } from '../score/look-fields';
import { System } from '../score/system';

interface WordEntry {
  readonly sign: string;
  readonly words: string;
}

/** The signs that the phrase uses, each with what it means; nothing where it uses none. */
export function SignLegend(props: {
  readonly phrase: Phrase;
  readonly look: Look;
  readonly width: number;
  readonly size: number;
}) {
  const { phrase, look, width, size } = props;
  const drawn = useMemo(
    () => legendOf(phrase, { width, size, staves: look.staves }),
    [phrase, width, size, look.staves],
  );
  const degrees = useMemo(() => degreeEntries(phrase, look), [phrase, look]);
  if (drawn.length + degrees.length === 0) return null;
  return (
    <section className="sheet-signs" aria-labelledby="sheet-legend">
      <h2 id="sheet-legend">Signs</h2>
      <dl className="sheet-legend">
        {drawn.map((e) => (
          <div key={e.sign}>
            <dt>
              <span className="unseen">{e.sign.replaceAll('-', ' ')}</span>
              <span aria-hidden="true">
                <System svg={e.svg} />
              </span>
            </dt>
            <dd>{e.words}</dd>
          </div>
        ))}
        {degrees.map((e) => (
          <div key={e.sign}>
            <dt>{e.sign}</dt>
            <dd>{e.words}</dd>
          </div>
        ))}
      </dl>
    </section>
  );
}

/** What the line of degrees says, as far as the phrase has it. */
function degreeEntries(p: Phrase, look: Look): WordEntry[] {
  if (look.degrees === 'off') return [];
  const view = look.degrees;
  const { byId } = analyse(p);
  const words = notesOf(p).flatMap(({ note }) => {
    const reading = byId.get(note.id);
    return reading === undefined ? [] : (degreeText(reading, view) ?? []);
  });
  if (words.length === 0) return [];
  const over = view === 'chord' ? 'what the note is over its chord' : 'what the note is in the key';
  const entries: WordEntry[] = [{ sign: 'R 3 5', words: `${over}; R is the root` }];
  if (words.some((w) => w.includes('→'))) {
    entries.push({ sign: '♭7→R', words: 'from where to where a bend leads' });
  }
  if (words.some((w) => w.endsWith('^'))) {
    entries.push({ sign: '^', words: 'belongs to the chord that comes next' });
  }
  return entries;
}
