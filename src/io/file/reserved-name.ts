/**
 * Names that Windows keeps for devices, whatever ending follows (Microsoft, *Naming Files, Paths, and
 * Namespaces*): a file of such a name cannot be made there, nor copied there.
 */
const RESERVED = /^(?:con|prn|aux|nul|com[0-9\u00b9\u00b2\u00b3]|lpt[0-9\u00b9\u00b2\u00b3])$/iu;

/** The stem of a file's name, with a word behind it where a system keeps it for something else. */
export function allowedStem(stem: string, word: string): string {
  return RESERVED.test(stem) ? `${stem}-${word}` : stem;
}
