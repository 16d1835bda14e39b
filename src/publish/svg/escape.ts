/** Text as it stands between tags; what XML cannot hold is left out. */
export function escapeXml(text: string): string {
  return text
    .replaceAll(UNWRITABLE, '')
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;');
}

/** Characters that XML 1.0 cannot hold. */
// biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is looked for.
const UNWRITABLE = /[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]/gu;
