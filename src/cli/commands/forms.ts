import { STANDARD_FORMS } from '../../core/form/standard';
import type { Form } from '../../core/form/types';
import { feelName } from '../../core/library/level-and-feel';
import type { Shell } from '../shell';

/** Prints the standard forms, four bars a line, or lists them as JSON. */
export function printForms(shell: Shell, json: boolean): void {
  if (json) {
    shell.print(`${JSON.stringify({ forms: STANDARD_FORMS }, null, 2)}\n`);
    return;
  }
  shell.print(STANDARD_FORMS.map(formText).join('\n'));
}

const BARS_A_LINE = 4;

function formText(f: Form): string {
  const meter = `${f.meter.beats}/${f.meter.beatType}`;
  const rows = f.sections.flatMap(({ name, bars }) => {
    const cells = bars.split('|').map((b) => b.trim().padEnd(10));
    return Array.from({ length: Math.ceil(cells.length / BARS_A_LINE) }, (_, i) => {
      const line = cells.slice(BARS_A_LINE * i, BARS_A_LINE * (i + 1)).join('| ');
      return `  ${(i === 0 ? name : '').padEnd(3)}${line.trimEnd()}\n`;
    });
  });
  return `${f.id}: ${f.title}, ${f.mode}, ${meter}, ${feelName(f.feel)}, ${f.tempo.bpm}\n${rows.join('')}`;
}
