import { applyFingering } from '../../core/neck/apply';
import { findPositions } from '../../core/neck/areas';
import { indexFingerFret } from '../../core/neck/positions';
import { writeTextTab } from '../../io/text-tab/write/write-text-tab';
import type { Source } from '../input';
import { degreeView } from '../output';
import type { Shell } from '../shell';
import { count } from '../words';

/** Prints every phrase of a file at the best places for it, each in an area of its own (N5). */
export function printPositions(shell: Shell, source: Source, most: number, first: boolean): void {
  source.phrases.forEach((p, i) => {
    if (!first || i > 0) shell.print('\n');
    const found = findPositions(p, { count: most });
    if (found.length === 0) {
      const fix = 'Look with the command check at what is in the way.';
      shell.refuse(source.path, [
        { message: `no place on the neck keeps all the rules for '${p.meta.title}'`, fix },
      ]);
      return;
    }
    shell.print(`${p.meta.title}: ${count(found.length, 'position')}, the easiest first\n`);
    found.forEach((f, k) => {
      const placed = applyFingering(p, f);
      const effort = Math.round(f.cost * 10) / 10;
      shell.print(`\n${k + 1}. around fret ${indexFingerFret(placed)}, effort ${effort}\n\n`);
      const style = { width: shell.width, degrees: degreeView(p), ascii: shell.ascii };
      shell.print(
        writeTextTab(placed, { ...style, header: false, legend: k === found.length - 1 }),
      );
    });
  });
}
