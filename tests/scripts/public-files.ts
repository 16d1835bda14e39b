/**
 * How MusicXML files that nobody here wrote are taken: `npx tsx tests/scripts/public-files.ts [FOLDER]`,
 * the public importer test suite when no folder is named. Counts what is taken, equal to an independent
 * reading (verovio: pitch and onset of every note that begins), different, and refused with the reason.
 * Only files of one part are compared, without cues and unpitched notes.
 */
import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { notesOf } from '../../src/core/phrase/walk';
import { formatProblem } from '../../src/core/result';
import { midiOf } from '../../src/core/theory/pitch';
import { readMxl } from '../../src/io/musicxml/package/mxl';
import { readMusicXml } from '../../src/io/musicxml/read/read-musicxml';
import { refPath } from '../support/refs';
import { startVerovio } from '../support/verovio';

const folder = process.argv[2] ?? refPath('musicxml-testsuite/xmlFiles');
if (folder === null) throw new Error('which folder?');
const verovio = await startVerovio();
const refused: string[] = [];
const different: string[] = [];
const unread: string[] = [];
let taken = 0;
let equal = 0;
const names = readdirSync(folder, { recursive: true, encoding: 'utf8' }).sort();
for (const name of names.filter((n) => /\.(?:musicxml|xml|mxl)$/u.test(n))) {
  const bytes = readFileSync(path.join(folder, name));
  const packed = name.endsWith('.mxl') ? readMxl(new Uint8Array(bytes)) : null;
  if (packed !== null && !packed.ok) {
    refused.push(`${name}: ${formatProblem(packed.problems[0]!)}`);
    continue;
  }
  const xml = packed === null ? bytes.toString('utf8') : packed.value;
  let ids = 0;
  const read = readMusicXml(xml, { newId: () => `i${++ids}`, now: '2026-11-27T10:00:00Z' });
  if (!read.ok) {
    refused.push(`${name}: ${formatProblem(read.problems[0]!)}`);
    continue;
  }
  taken++;
  if ((xml.match(/<part /gu) ?? []).length !== 1 || /<cue ?\/>|<unpitched/u.test(xml)) continue;
  const ours = notesOf(read.value.phrase).flatMap(({ note, onset }) =>
    note.kind === 'pitched' ? [`${onset} ${midiOf(note.pitch)}`] : [],
  );
  try {
    const r = verovio(xml);
    const continued = new Set(r.ties.map(([, end]) => end));
    const shift = r.transpositions[0]?.[1] ?? 0;
    const theirs = [...r.notes.values()]
      .filter((n) => !continued.has(n.id))
      .map((n) => `${Math.round(n.onset)} ${n.midi + shift}`);
    if (ours.sort().join() === theirs.sort().join()) equal++;
    else
      different.push(`${name}: ${read.value.notes.length === 0 ? 'IN SILENCE' : 'with remarks'}`);
  } catch {
    unread.push(name);
  }
}
console.log(`${taken} taken, ${refused.length} refused`);
console.log(
  `of one part ${equal} equal, ${different.length} different, ${unread.length} not comparable`,
);
console.log(['', ...refused, '', ...different].join('\n'));
