/** The forms in which phrases are read; `txt` is a tab in text, `quick` quick text. */
export const FORMATS = ['json', 'musicxml', 'mxl', 'txt', 'quick', 'mid'] as const;
export type FileFormat = (typeof FORMATS)[number];

/** The format that the ending of a name says; `.xml` is MusicXML. Null for another ending or none. */
export function formatOfName(name: string): FileFormat | null {
  const ending = /\.([a-z]+)$/iu.exec(name)?.[1]?.toLowerCase();
  if (ending === 'xml') return 'musicxml';
  if (ending === 'midi') return 'mid';
  return FORMATS.find((f) => f === ending) ?? null;
}

/**
 * Whether a file of this name may hold a phrase in plain text: quick text, or tablature as people
 * post it. Nothing in such a text names its format, so that its ending must; the standard input has none.
 */
export function mayBePlainText(path: string): boolean {
  const format = formatOfName(path);
  return format === 'quick' || format === 'txt' || path === '-';
}

/** Whether a file of this name is a score, of which a part and an octave can be chosen. */
export function isScore(name: string): boolean {
  return isScoreFormat(formatOfName(name));
}

/** Whether what is of this format is a score. */
export function isScoreFormat(format: FileFormat | null): boolean {
  return format === 'musicxml' || format === 'mxl' || format === 'mid';
}

/** The name without folders and without an ending of ours, or that of a recording, which is heard; never empty. */
export function stemOf(path: string): string {
  const name =
    path
      .split(/[/\\]/u)
      .filter((p) => p !== '')
      .at(-1) ?? '';
  const isOurs = formatOfName(name) !== null || /\.wav$/iu.test(name);
  const stem = isOurs ? name.replace(/\.[a-z]+$/iu, '') : name;
  return path === '-' ? 'stdin' : stem === '' ? 'phrase' : stem;
}
