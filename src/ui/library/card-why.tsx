import { useEffect, useMemo, useState } from 'react';
import type { Phrase } from '../../core/phrase/types';
import { whyFound } from '../../core/search/define/why';
import { readQuery } from '../../core/search/query/read';
import type { Box } from '../../engrave/ink/box';
import { useAround } from '../frame/around-library';
import { System } from '../score/system';
import { type MarkedLine, orderMarkedLine } from './card-lines';
import { placesFound } from './why-words';
import './search.css';

interface Props {
  readonly phrase: Phrase;
  /** Text of the query that found it. */
  readonly asked: string;
  /** Its first line, for where no note is marked. */
  readonly first: string;
}

/** Room around a mark in px of the line. */
const AROUND = 2.5;

/** The line of a phrase in which the notes stand that were looked for, each in a ring, and in words. */
export function CardWhy({ phrase, asked, first }: Props) {
  const around = useAround();
  const why = useMemo(() => {
    const read = readQuery(asked);
    return read.ok ? whyFound(read.value.query, phrase, around) : null;
  }, [asked, phrase, around]);
  const [line, setLine] = useState<{ readonly of: unknown; readonly is: MarkedLine } | null>(null);
  useEffect(() => {
    if (why === null || why.notes.size === 0) return;
    return orderMarkedLine(
      phrase,
      why.notes,
      (is) => setLine({ of: why, is }),
      () => undefined,
    );
  }, [phrase, why]);
  const marked = line?.of === why ? line.is : null;
  const words = why === null ? '' : wordsFor(why);
  return (
    <div className="card-why">
      <div className="card-score card-marked" aria-hidden="true">
        <System svg={marked?.svg ?? first} />
        {marked !== null && (
          <svg className="card-rings" viewBox={`0 0 ${marked.width} ${marked.height}`}>
            <title>The notes that were looked for</title>
            {marked.marks.map((b) => (
              <Ring key={`${b.x0} ${b.y0}`} box={b} />
            ))}
          </svg>
        )}
      </div>
      {words !== '' && <p>{words}</p>}
    </div>
  );
}

/** A ring around a note, with a wedge above it that needs no colour. */
function Ring({ box }: { readonly box: Box }) {
  const [x, y] = [box.x0 - AROUND, box.y0 - AROUND];
  const [width, height] = [box.x1 - box.x0 + 2 * AROUND, box.y1 - box.y0 + 2 * AROUND];
  const middle = x + width / 2;
  return (
    <>
      <rect x={x} y={y} width={width} height={height} rx={Math.min(width, height) / 2} />
      <path d={`M${middle - 3} ${y - 5}h6l-3 4z`} />
    </>
  );
}

function wordsFor(why: ReturnType<typeof whyFound>): string {
  const places = placesFound(why);
  // Title, tags and style stand on the card.
  const said = why.said.flatMap(({ text, fields }) => {
    if (fields.some((f) => f === 'title' || f === 'tag' || f === 'style')) return [];
    const where = fields.includes('remarks') ? 'the notes for students' : 'where it comes from';
    return [`‘${text}’ stands in ${where}`];
  });
  return [...(places === '' ? [] : [places]), ...said].join('. ');
}
