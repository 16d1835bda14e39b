/** The forms in which phrases are written. */
export const FORMATS = ['json', 'musicxml', 'mxl', 'txt'] as const;
export type FileFormat = (typeof FORMATS)[number];

/** The format that the ending of a name says; `.xml` is MusicXML. Null for another ending or none. */
export function formatOfName(name: string): FileFormat | null {
  const ending = /\.([a-z]+)$/iu.exec(name)?.[1]?.toLowerCase();
  if (ending === 'xml') return 'musicxml';
  return FORMATS.find((f) => f === ending) ?? null;
}

/** The name without folders and without an ending of ours; never empty. */
export function stemOf(path: string): string {
  const name =
    path
      .split(/[/\\]/u)
      .filter((p) => p !== '')
      .at(-1) ?? '';
  const stem = formatOfName(name) === null ? name : name.replace(/\.[a-z]+$/iu, '');
  return path === '-' ? 'stdin' : stem === '' ? 'phrase' : stem;
}
