import { checkPlayable } from '../../core/neck/playable';
import { problemPlace } from '../../core/phrase/time-words';
import type { Phrase } from '../../core/phrase/types';
import { notesOf } from '../../core/phrase/walk';
import { formatProblem } from '../../core/result';
import { apartOf } from '../../io/kinds/file-kinds';
import { earlierWords, playedWords } from '../earlier-words';
import type { Source } from '../input';
import type { Shell } from '../shell';
import { count } from '../words';

/** So many places that cannot be played are told of one phrase. */
const MOST_PLACES = 20;

/**
 * Says of a file that could be read what is in it, what of it was not understood, and what a hand
 * could not play as written. That a phrase cannot be played is no fault of its file.
 */
export function checkSource(shell: Shell, source: Source): void {
  const what = source.library ? `, a library of ${count(source.phrases.length, 'phrase')}` : '';
  shell.print(`${source.path}: ok${what}\n`);
  const { versions, played, others } = apartOf(source.others ?? []);
  for (const { kind, value } of others) {
    const { title } = kind.identityOf(value);
    shell.print(`  ${kind.noun} ${title === '' ? 'without a title' : `'${title}'`}\n`);
  }
  for (const p of source.phrases) shell.print(describe(p));
  if (versions.length > 0) shell.print(`  ${earlierWords(versions)}\n`);
  if (played.length > 0) shell.print(`  ${playedWords(played)}\n`);
  for (const r of source.remarks) shell.print(`  ${r}\n`);
}

function describe(p: Phrase): string {
  const notes = notesOf(p).length;
  const broken = checkPlayable(p);
  const verdict = broken.length === 0 ? 'playable as written' : 'not playable as written:';
  const lines = [
    `  ${p.meta.title === '' ? 'untitled' : `'${p.meta.title}'`}: ${count(p.bars.length, 'bar')}${p.pickup > 0 ? ' and a pickup' : ''}, ${count(notes, 'note')}, ${verdict}`,
  ];
  for (const v of broken.slice(0, MOST_PLACES)) {
    const place = { ...problemPlace(p, v.onset), string: v.string };
    lines.push(`    ${formatProblem({ message: v.message, ...place })}`);
  }
  if (broken.length > MOST_PLACES) lines.push(`    and ${broken.length - MOST_PLACES} more`);
  return `${lines.join('\n')}\n`;
}
