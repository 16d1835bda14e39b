import { fail, ok, type Result } from '../../../core/result';

/**
 * The text of an XML file. A byte order mark decides; without one UTF-16 shows by the zero beside
 * its first '<', then the encoding that the XML declaration names, and UTF-8 where it names none
 * (XML 1.0, appendix F).
 */
export function decodeXmlText(bytes: Uint8Array): Result<string> {
  const encoding = encodingOf(bytes);
  try {
    return ok(new TextDecoder(encoding, { fatal: true }).decode(bytes));
  } catch {
    return fail({
      message: `the file is not text in ${encoding.toUpperCase()}`,
      fix: 'Export it again as MusicXML in UTF-8.',
    });
  }
}

/** Bytes in which the XML declaration must stand. */
const DECLARATION = 200;

function encodingOf(bytes: Uint8Array): string {
  const [a, b] = bytes;
  if ((a === 0xff && b === 0xfe) || (a === 0x3c && b === 0)) return 'utf-16le';
  if ((a === 0xfe && b === 0xff) || (a === 0 && b === 0x3c)) return 'utf-16be';
  const head = new TextDecoder('latin1').decode(bytes.subarray(0, DECLARATION));
  const named = /^(?:\u00ef\u00bb\u00bf)?<\?xml[^>]*\bencoding\s*=\s*["']([\w.:-]+)["']/u.exec(
    head,
  );
  return named === null || /^utf-?16/iu.test(named[1]!) ? 'utf-8' : named[1]!.toLowerCase();
}
