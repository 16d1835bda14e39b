import type { Problem } from '../../../core/result';
import { childrenOf, parseXml } from '../xml/parse';
import { checkPlaces } from './place';
import { Report, walkPart } from './score';
import { checkSpans } from './spans';
import { checkTime } from './time';

/**
 * What the schema of MusicXML cannot see in a score-partwise file: bars that are overfull or
 * underfull, wrong backups, durations that are not their note value, frets that do not sound their
 * pitch, two staves that differ, and everything that starts without a stop.
 * @returns the problems in the order of these, each with line and bar; empty for a sound file.
 */
export function checkMusicXml(xml: string): readonly Problem[] {
  const root = parseXml(xml);
  if (!root.ok) return root.problems;
  const report = new Report();
  const parts = childrenOf(root.value, 'part');
  if (root.value.name !== 'score-partwise' || parts.length === 0) {
    return [
      {
        message: 'this is no score-partwise file with a part',
        fix: 'Export the score as MusicXML partwise.',
        line: root.value.line,
      },
    ];
  }
  for (const part of parts) {
    const score = walkPart(part, report);
    checkTime(score, report);
    checkPlaces(score, report);
    checkSpans(score, report);
  }
  checkIds(xml, report);
  return report.problems;
}

/** Ids must be unique in the file. A schema with DTD types sees this, the XSD reader at hand may not. */
function checkIds(xml: string, report: Report): void {
  const seen = new Set<string>();
  for (const m of xml.matchAll(/<note\b[^>]*\sid="([^"]*)"/gu)) {
    const id = m[1]!;
    if (seen.has(id)) {
      report.problems.push({
        message: `the id '${id}' is there twice`,
        fix: 'Give every note its own id.',
        line: xml.slice(0, m.index).split('\n').length,
      });
    }
    seen.add(id);
  }
}
