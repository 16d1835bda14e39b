import type { NoteId } from '../core/phrase/types';
import type { Analysis } from '../core/understand/analyse';
import type { NoteReading, PitchReading } from '../core/understand/reading';
import type { DegreeLabel, DegreeLabels } from '../engrave/text/degrees';
import { TYPESET } from '../io/text/signs';

/** What the degree line counts from (D1), or that there is none. */
export type DegreeView = 'chord' | 'key' | 'off';

export const DEGREE_VIEWS: readonly DegreeView[] = ['chord', 'key', 'off'];

/**
 * The words of the degree line: `♭7`, of a bend start and target `♭7→R` (D5), with `^` where the
 * note anticipates the next chord (D2). Notes over no chord have none against the chord.
 */
export function degreeLabels(analysis: Analysis, view: DegreeView): DegreeLabels | null {
  if (view === 'off') return null;
  const labels = new Map<NoteId, DegreeLabel>();
  for (const r of analysis.readings) {
    const text = degreeText(r, view);
    if (text === null) continue;
    const className = r.role === null ? undefined : `dw-role-${r.role.replace(' ', '-')}`;
    labels.set(r.note.id, className === undefined ? { text } : { text, className });
  }
  return labels;
}

/** One note's degree in the view; null where it has none. */
export function degreeText(r: NoteReading, view: Exclude<DegreeView, 'off'>): string | null {
  const start = name(r.start, view);
  if (start === null) return null;
  const early = r.anticipates && view === 'chord' ? '^' : '';
  if (r.heard === r.start) return start + early;
  return `${start}→${name(r.heard, view) ?? ''}${early}`;
}

function name(p: PitchReading, view: Exclude<DegreeView, 'off'>): string | null {
  const d = view === 'key' ? p.keyDegree : p.chordDegree;
  return d === null ? null : TYPESET.degree(d);
}

/** The view that says most of a phrase: against the key where there is no lane. */
export function usualView(...analyses: readonly Analysis[]): Exclude<DegreeView, 'off'> {
  return analyses.some((a) => a.spans.length > 0) ? 'chord' : 'key';
}
