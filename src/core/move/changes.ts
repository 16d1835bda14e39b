import type { MoveReport } from './request';

/** What a move did beyond moving, in sentences without full stops, each once. */
export function changesOf(report: MoveReport): readonly string[] {
  const notes = report.notes.flatMap((n) => n.adaptations.map((a) => a.text));
  return [...new Set([...report.general.map((a) => a.text), ...notes])];
}
