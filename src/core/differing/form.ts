import { barCount, barsOfSection } from '../form/numerals';
import type { Form } from '../form/types';
import { sameData } from '../phrase/same';
import type { Feel } from '../phrase/types';
import { tempoWords } from './phrase';
import { both, counted, quoted } from './words';

/** So many bars are told one by one. */
const MOST_BARS = 3;

/** What differs between two song forms, but for their titles. */
export function formDifferences(
  a: Omit<Form, 'id' | 'title'>,
  b: Omit<Form, 'id' | 'title'>,
): readonly string[] {
  const meter = ({ meter: { beats, beatType } }: typeof a) => `${beats}/${beatType}`;
  return [
    ...(a.mode === b.mode ? [] : [both('mode', a.mode, b.mode)]),
    ...(meter(a) === meter(b) ? [] : [both('metre', meter(a), meter(b))]),
    ...(sameData(a.meter, b.meter) || meter(a) !== meter(b) ? [] : ['metre']),
    ...(sameData(a.feel, b.feel) ? [] : [both('feel', feelWords(a.feel), feelWords(b.feel))]),
    ...(sameData(a.tempo, b.tempo)
      ? []
      : [both('tempo', tempoWords(a.tempo), tempoWords(b.tempo))]),
    ...sectionsOf(a, b),
  ];
}

function feelWords(feel: Feel): string {
  return feel.kind === 'swing' ? `swing ${feel.first}:${feel.second} on ${feel.unit}s` : 'straight';
}

function sectionsOf(a: Pick<Form, 'sections'>, b: Pick<Form, 'sections'>): readonly string[] {
  if (sameData(a.sections, b.sections)) return [];
  const names = (f: typeof a) => f.sections.map((s) => s.name);
  const [x, y] = [a, b].map((f) => f.sections.flatMap(barsOfSection)) as [string[], string[]];
  const said: string[] = [];
  const listed = (f: typeof a) => quoted(names(f).join(' '));
  if (!sameData(names(a), names(b))) said.push(both('sections', listed(a), listed(b)));
  if (x.length !== y.length) {
    said.push(`${counted(barCount(a), 'bar')} / ${counted(barCount(b), 'bar')}`);
  } else {
    const other = x.flatMap((bar, i) => (bar === y[i] ? [] : [i]));
    const some = other.slice(0, MOST_BARS).map((i) => both(`bar ${i + 1}`, x[i]!, y[i]!));
    const more = other.length - some.length;
    said.push(...some, ...(more > 0 ? [`${counted(more, 'more bar')}`] : []));
  }
  // Where the same bars are divided or written otherwise.
  return said.length > 0 ? said : ['how its bars are written'];
}
