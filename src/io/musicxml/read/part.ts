import { fail, ok, type Result } from '../../../core/result';
import { attribute, child, childrenOf, childText, problemAt, type XmlElement } from '../xml/parse';
import type { ImportLog } from './log';
import { plainText } from './text';

/** The part a phrase is made of. */
export interface ChosenPart {
  /** Whether it is the first part of the file. */
  readonly isFirst: boolean;
  readonly measures: readonly XmlElement[];
  /** Its entry in `<part-list>`; undefined where the file lacks one. */
  readonly scorePart: XmlElement | undefined;
}

/**
 * The part asked for, else the first with pitches, else with notes, else the first; the others are
 * logged by name. Timewise scores are read part by part.
 * @param number Number of the part in the file, from 1; null to choose.
 */
export function choosePart(
  score: XmlElement,
  number: number | null,
  log: ImportLog,
): Result<ChosenPart> {
  const parts = partsOf(score);
  if (parts === null) return fail(notAScore(score));
  const list = child(score, 'part-list');
  const entries = list === undefined ? [] : childrenOf(list, 'score-part');
  const withPitches = parts.find(hasPitches) ?? parts.find(hasNotes);
  const first = number === null ? (withPitches ?? parts[0]) : parts[number - 1];
  if (first === undefined) {
    return fail(
      parts.length === 0
        ? problemAt(score, 'the score has no part', 'Export the file again with its music.')
        : problemAt(
            score,
            `there is no part ${number}`,
            `The file has parts 1 to ${parts.length}.`,
          ),
    );
  }
  const others = parts.filter((p) => p !== first);
  if (others.length > 0) {
    const names = others
      .slice(0, 12)
      .map((p) => `${parts.indexOf(p) + 1} ${nameOf(p.id, entries)}`);
    const more = others.length > names.length ? ` and ${others.length - names.length} more` : '';
    const noun = others.length === 1 ? 'part is' : 'parts are';
    log.add('dropped', `${others.length} other ${noun} not read: ${names.join(', ')}${more}`);
  }
  return ok({
    measures: first.measures,
    isFirst: first === parts[0],
    scorePart: entries.find((e) => attribute(e, 'id') === first.id),
  });
}

interface Part {
  readonly id: string;
  readonly measures: readonly XmlElement[];
}

const isNote = (e: XmlElement) => e.name === 'note' && child(e, 'rest') === undefined;
const isPitched = (e: XmlElement) => e.name === 'note' && child(e, 'pitch') !== undefined;
const hasNotes = (p: Part) => p.measures.some((m) => m.children.some(isNote));
const hasPitches = (p: Part) => p.measures.some((m) => m.children.some(isPitched));

/** Numbers of the parts that have pitches, from 1. */
export function partsWithPitches(score: XmlElement): readonly number[] {
  return (partsOf(score) ?? []).flatMap((p, i) => (hasPitches(p) ? [i + 1] : []));
}

function partsOf(score: XmlElement): readonly Part[] | null {
  if (score.name === 'score-partwise') {
    return childrenOf(score, 'part').map((p) => ({
      id: attribute(p, 'id') ?? '',
      measures: childrenOf(p, 'measure'),
    }));
  }
  if (score.name !== 'score-timewise') return null;
  const parts = new Map<string, XmlElement[]>();
  for (const measure of childrenOf(score, 'measure')) {
    for (const p of childrenOf(measure, 'part')) {
      const id = attribute(p, 'id') ?? '';
      const measures = parts.get(id) ?? [];
      // The attributes of a measure (number, implicit) stand on the outer element there.
      measures.push({ ...p, name: 'measure', attributes: measure.attributes });
      parts.set(id, measures);
    }
  }
  return [...parts].map(([id, measures]) => ({ id, measures }));
}

function nameOf(id: string, entries: readonly XmlElement[]): string {
  const entry = entries.find((e) => attribute(e, 'id') === id);
  const name = entry === undefined ? '' : plainText(childText(entry, 'part-name') ?? '', 60);
  return name === '' ? (id === '' ? 'without a name' : plainText(id, 60)) : name;
}

function notAScore(root: XmlElement) {
  if (root.name === 'container') {
    return problemAt(
      root,
      'this is the table of contents of a compressed file',
      'Open the .mxl file itself.',
    );
  }
  if (root.name === 'opus') {
    return problemAt(root, 'this is a list of scores, not a score', 'Open one of its scores.');
  }
  const problem = problemAt(
    root,
    `the file begins with '${plainText(root.name, 40)}' and is no MusicXML score`,
    'Choose a file exported as MusicXML.',
  );
  return { ...problem, foreign: true as const };
}
