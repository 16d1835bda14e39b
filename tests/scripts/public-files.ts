/**
 * How MusicXML files that nobody here wrote are taken: `npx tsx tests/scripts/public-files.ts [FOLDER] [EVERY]`,
 * the public importer test suite when no folder is named; EVERY 10 reads each tenth file. Counts what is
 * taken, equal to an independent reading (pitch and onset of every note that begins), different with what
 * the reader said about it, and refused with the reason. Two readings are asked: the standard's own words
 * (durations, pitches, ties; nothing mended), and where they differ verovio, which goes by note values. What
 * differs from both and is said is counted apart where it is the same to the ear: what two voices strike
 * together sounds once, and a tie of which the file has one end holds its note.
 * Only files of one part are compared, without cues and unpitched notes; a dead note (×) by the place where it lies.
 */
import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { formatProblem } from '../../src/core/result';
import { readMxl } from '../../src/io/musicxml/package/mxl';
import { formatImportNote, readMusicXml } from '../../src/io/musicxml/read/read-musicxml';
import { decodeXmlText } from '../../src/io/musicxml/xml/decode-text';
import {
  type PlainNote,
  plainly,
  readPlainly,
  sameNotes,
  struckOnce,
} from '../support/plain-musicxml';
import { refPath } from '../support/refs';
import { startVerovio } from '../support/verovio';

const folder = process.argv[2] ?? refPath('musicxml-testsuite/xmlFiles');
const every = Number(process.argv[3] ?? 1);
if (folder === null) throw new Error('which folder?');
const verovio = await startVerovio();
const refused: string[] = [];
const different: string[] = [];
const silent: string[] = [];
let taken = 0;
let equal = 0;
let byVerovio = 0;
let toTheEar = 0;

/** A file's text, or null after its refusal is noted. */
function textOf(name: string): string | null {
  const bytes = readFileSync(path.join(folder!, name));
  if (!name.endsWith('.mxl')) {
    const text = decodeXmlText(new Uint8Array(bytes));
    if (text.ok) return text.value;
    refused.push(`${name}: ${formatProblem(text.problems[0]!)}`);
    return null;
  }
  const packed = readMxl(new Uint8Array(bytes));
  if (packed.ok) return packed.value;
  refused.push(`${name}: ${formatProblem(packed.problems[0]!)}`);
  return null;
}

function verovioAgrees(xml: string, ours: readonly PlainNote[]): boolean {
  try {
    const r = verovio(xml);
    const continued = new Set(r.ties.map(([, end]) => end));
    const shift = r.transpositions[0]?.[1] ?? 0;
    const notes = [...r.notes.values()]
      .filter((n) => !continued.has(n.id))
      .map((n) => ({ onset: n.onset, midi: n.midi + shift }));
    return sameNotes(ours, { notes, grain: 1 });
  } catch {
    return false;
  }
}

const names = readdirSync(folder, { recursive: true, encoding: 'utf8' })
  .filter((n) => /\.(?:musicxml|xml|mxl)$/u.test(n))
  .sort();
for (const name of names.filter((_, i) => i % every === 0)) {
  const xml = textOf(name);
  if (xml === null) continue;
  let ids = 0;
  const read = readMusicXml(xml, { newId: () => `i${++ids}`, now: '2026-11-27T10:00:00Z' });
  if (!read.ok) {
    refused.push(`${name}: ${formatProblem(read.problems[0]!)}`);
    continue;
  }
  taken++;
  if ((xml.match(/<part /gu) ?? []).length !== 1 || /<cue ?\/>|<unpitched/u.test(xml)) continue;
  const ours = plainly(read.value.phrase);
  if (sameNotes(ours, readPlainly(xml))) equal++;
  else if (verovioAgrees(xml, ours)) byVerovio++;
  else {
    // What is assumed of the whole file explains no difference.
    const said = read.value.notes.filter((n) => n.kind !== 'assumed' || n.bar !== undefined);
    if (said.length === 0) silent.push(name);
    const held = readPlainly(xml, 'one');
    const once = { ...held, notes: struckOnce(held.notes) };
    if (said.length > 0 && sameNotes(struckOnce(ours), once)) {
      toTheEar++;
      continue;
    }
    different.push([name, ...said.map((n) => `    ${formatImportNote(n)}`)].join('\n'));
  }
}
const all = equal + byVerovio + toTheEar + different.length;
console.log(`${taken} taken, ${refused.length} refused`);
console.log(
  `of ${all} with one part ${equal + byVerovio} equal (${byVerovio} only to verovio), ${toTheEar} more to the ear, ${different.length} different, ${silent.length} of them in silence`,
);
console.log(['', ...refused, '', ...different].join('\n'));
