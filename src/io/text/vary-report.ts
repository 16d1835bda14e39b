import type { VaryReport } from '../../core/vary/report';

/** The report of a variation in a line or two, without a full stop. */
export function varyReportText(r: VaryReport): readonly string[] {
  const said = (n: number, words: string) => (n === 0 ? [] : [`${n} ${words}`]);
  const { counts, effort } = r;
  const notes = [
    ...said(counts.added, 'added'),
    ...said(counts['left out'], 'left out'),
    ...said(counts['other pitch'], 'with another pitch'),
    ...said(counts['other time'], 'at another time or of another length'),
    ...said(counts['other way'], 'played another way'),
    ...said(counts.kept, 'as before'),
  ];
  const lost = r.gaveWay.length === 0 ? [] : [`had to give way: ${r.gaveWay.join(', ')}`];
  return [`notes: ${notes.join(', ')}`, ...lost, ...effortText(effort)];
}

function effortText({ before, after }: VaryReport['effort']): readonly string[] {
  if (before === null || after === null) return [];
  const tenth = (n: number) => String(Math.round(n * 10) / 10);
  return [`effort of the hand ${tenth(before)} before, ${tenth(after)} after`];
}
