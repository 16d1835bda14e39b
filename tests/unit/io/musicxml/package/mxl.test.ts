import { existsSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { strToU8, unzipSync, zipSync } from 'fflate';
import { describe, expect, it } from 'vitest';
import { isMxl, readMxl, unpackMxl, writeMxl } from '../../../../../src/io/musicxml/package/mxl';
import { crc32, ZIP_LIMITS } from '../../../../../src/io/musicxml/package/zip-entries';
import { decodeXmlText } from '../../../../../src/io/musicxml/xml/decode-text';

const XML = '<?xml version="1.0"?>\n<score-partwise>♭ 𝄫 ü</score-partwise>\n';

const container = (...roots: string[]) =>
  strToU8(`<container><rootfiles>${roots.join('')}</rootfiles></container>`);
const root = (full: string, type?: string) =>
  `<rootfile full-path="${full}"${type === undefined ? '' : ` media-type="${type}"`}/>`;

const message = (bytes: Uint8Array, limits = ZIP_LIMITS): string => {
  const r = readMxl(bytes, limits);
  if (r.ok) throw new Error('it was read');
  for (const p of r.problems) expect(p.fix).toBeDefined();
  return r.problems.map((p) => p.message).join();
};

/** Puts a little-endian number at a place found from a signature. */
function patch(bytes: Uint8Array, signature: number, nth: number, at: number, value: number) {
  const out = bytes.slice();
  const view = new DataView(out.buffer);
  let seen = 0;
  for (let i = 0; i + 4 <= out.length; i++) {
    if (view.getUint32(i, true) === signature && seen++ === nth) {
      view.setUint32(i + at, value, true);
      return out;
    }
  }
  throw new Error('signature not found');
}
const CENTRAL = 0x02014b50;

describe('writeMxl', () => {
  const bytes = writeMxl(XML);

  it('begins with the stored media type and no extra field (MusicXML 4.0, .mxl files)', () => {
    const text = (from: number, to: number) => String.fromCharCode(...bytes.subarray(from, to));
    expect(bytes[8]).toBe(0);
    expect(new DataView(bytes.buffer).getUint16(28, true)).toBe(0);
    expect(text(30, 38)).toBe('mimetype');
    expect(text(38, 72)).toBe('application/vnd.recordare.musicxml');
  });

  it('holds container and score as another unzipper reads them', () => {
    const files = unzipSync(bytes);
    expect(Object.keys(files)).toEqual(['mimetype', 'META-INF/container.xml', 'score.musicxml']);
    expect(new TextDecoder().decode(files['score.musicxml'])).toBe(XML);
    expect(new TextDecoder().decode(files['META-INF/container.xml'])).toContain(
      'full-path="score.musicxml" media-type="application/vnd.recordare.musicxml+xml"',
    );
  });

  it('gives the same bytes for the same text, and is read back', () => {
    expect(writeMxl(XML)).toEqual(bytes);
    expect(isMxl(bytes)).toBe(true);
    expect(readMxl(bytes)).toEqual({ ok: true, value: XML });
  });
});

describe('readMxl', () => {
  it('takes the first root file of MusicXML, wherever it lies', () => {
    const zip = zipSync({
      'META-INF/container.xml': container(
        root('a.pdf', 'application/pdf'),
        root('music/b.xml', 'application/vnd.recordare.musicxml+xml'),
      ),
      'a.pdf': strToU8('no'),
      'music/b.xml': strToU8(XML),
    });
    expect(readMxl(zip)).toEqual({ ok: true, value: XML });
  });

  it('reads archives without mimetype, and UTF-16', () => {
    const utf16 = new Uint8Array(2 + 2 * XML.length);
    utf16.set([0xff, 0xfe]);
    for (let i = 0; i < XML.length; i++) {
      const code = XML.charCodeAt(i);
      utf16.set([code & 0xff, code >> 8], 2 + 2 * i);
    }
    const zip = zipSync({ 'META-INF/container.xml': container(root('x')), x: utf16 });
    expect(readMxl(zip)).toEqual({ ok: true, value: XML });
  });

  it('says what is missing', () => {
    expect(message(strToU8('hello'))).toContain('no .mxl file');
    // Two scores: which one is meant nobody says.
    const two = { 'a.xml': strToU8(XML), 'b.xml': strToU8(XML) };
    expect(message(zipSync(two))).toContain('has no META-INF/container.xml');
    expect(message(zipSync({ 'META-INF/container.xml': container() }))).toContain('no root file');
    expect(message(zipSync({ 'META-INF/container.xml': container(root('b.xml')) }))).toContain(
      "does not hold 'b.xml'",
    );
    expect(message(zipSync({ 'META-INF/container.xml': strToU8('<container') }))).toContain(
      'XML is broken',
    );
  });

  it.each([
    ['is missing', {}, 'has no META-INF/container.xml'],
    ['is broken', { 'META-INF/container.xml': strToU8('<container') }, 'container.xml: '],
    ['names nothing', { 'META-INF/container.xml': container() }, 'names no root file'],
    ['names another', { 'META-INF/container.xml': container(root('b.xml')) }, "hold 'b.xml'"],
    ['leads outside', { 'META-INF/container.xml': container(root('../b.xml')) }, 'no path'],
  ])('reads the one score of an archive whose container %s, and says so', (_, files, why) => {
    const around = { '__MACOSX/._a.xml': strToU8('x'), 'read.txt': strToU8('x') };
    const read = unpackMxl(zipSync({ ...files, ...around, 'music/a.xml': strToU8(XML) }));
    if (!read.ok) throw new Error(read.problems[0]?.message);
    expect(read.value).toMatchObject({ text: XML, name: 'music/a.xml' });
    expect(read.value.remark).toContain(why);
    expect(read.value.remark).toContain("'music/a.xml', the only score in it, is read");
  });

  it('names the scores of an archive that has several and says of none that it is meant', () => {
    const several = { 'a.xml': strToU8(XML), 'b.xml': strToU8(XML) };
    const read = unpackMxl(zipSync(several));
    if (read.ok) throw new Error('taken');
    expect(read.problems[0]?.fix).toContain("'a.xml', 'b.xml'");
  });

  it.each(['../score.xml', '/etc/passwd', 'a/../../b', 'C:\\x.xml', 'a//b', './a'])(
    'refuses the path %s even where the archive has such a file',
    (evil) => {
      const zip = zipSync({
        'META-INF/container.xml': container(root(evil)),
        [evil]: strToU8(XML),
      });
      expect(message(zip)).toContain('no path inside the archive');
    },
  );

  it('refuses entities in the container', () => {
    const evil = strToU8('<!DOCTYPE c [<!ENTITY a "aaaa">]><container>&a;</container>');
    expect(message(zipSync({ 'META-INF/container.xml': evil }))).toContain('entities');
  });

  const packed = (content: Uint8Array) =>
    zipSync({ 'META-INF/container.xml': container(root('x')), x: content });

  const bomb = packed(new Uint8Array(40 * 2 ** 20));

  it('refuses a bomb by its declared size and by its ratio', () => {
    expect(message(bomb)).toContain('which no score does');
    expect(message(packed(new Uint8Array(2 * 2 ** 20)))).toContain('which no score does');
  });

  it('stops a bomb that lies about its size', () => {
    expect(message(patch(bomb, CENTRAL, 1, 24, 1_000))).toContain('does not have the size');
  });

  it('refuses too many files and too large an archive', () => {
    const many = Object.fromEntries(
      Array.from({ length: 30 }, (_, i) => [`f${i}`, strToU8('x')] as const),
    );
    const zip = zipSync(many);
    expect(message(zip, { ...ZIP_LIMITS, entries: 20 })).toContain('30 files');
    expect(message(zip, { ...ZIP_LIMITS, archive: 100 })).toContain('more than the 100');
  });

  it('refuses what is damaged, encrypted or packed otherwise', () => {
    const zip = writeMxl(XML.repeat(50));
    expect(message(zip.subarray(0, zip.length - 30))).toContain('no table of contents');
    expect(message(patch(zip, CENTRAL, 2, 16, 12_345))).toContain('wrong checksum');
    expect(message(patch(zip, CENTRAL, 2, 42, 7))).toContain('not where it should be');
    expect(message(patch(zip, CENTRAL, 2, 8, 0x0008_0001))).toContain('encrypted');
    expect(message(patch(zip, CENTRAL, 2, 8, 0x000e_0000))).toContain('method 14');
    expect(message(patch(zip, CENTRAL, 1, 0, 0))).toContain('cut short');
  });

  it('never throws on cut or changed bytes', () => {
    const zip = writeMxl(XML);
    for (let i = 0; i < zip.length; i++) {
      expect(() => readMxl(zip.subarray(0, i))).not.toThrow();
      const changed = zip.slice();
      changed[i] = changed[i]! ^ 0xff;
      expect(() => readMxl(changed)).not.toThrow();
    }
  });

  const suite = path.resolve(
    import.meta.dirname,
    '../../../../../../shared/refs/musicxml-testsuite/xmlFiles/90a-Compressed-MusicXML.mxl',
  );
  const found = existsSync(suite);
  if (!found) console.info('skipped: the importer test suite 90a is not at ../shared/refs');
  it.skipIf(!found)('reads 90a of the public importer test suite', () => {
    const r = readMxl(readFileSync(suite));
    expect(r.ok && r.value).toContain('<score-partwise');
  });
});

describe('crc32', () => {
  it('has the check value of the algorithm (CRC-32/ISO-HDLC over 123456789)', () => {
    expect(crc32(strToU8('123456789'))).toBe(0xcbf43926);
  });
});

describe('decodeXmlText', () => {
  it('obeys the XML declaration, and refuses what is not text', () => {
    const latin = Uint8Array.from('<?xml version="1.0" encoding="ISO-8859-1"?><a>\u00fc</a>', (c) =>
      c.charCodeAt(0),
    );
    expect(decodeXmlText(latin)).toMatchObject({ ok: true, value: expect.stringContaining('ü') });
    const utf8 = decodeXmlText(strToU8('\ufeff<?xml version="1.0" encoding="utf-8"?><a>ü</a>'));
    expect(utf8.ok && utf8.value.startsWith('<?xml')).toBe(true);
    for (const bad of [[0x3c, 0xff, 0xfe, 0xc3], [...strToU8('<?xml encoding="klingon"?>')]]) {
      expect(decodeXmlText(Uint8Array.from(bad)).ok).toBe(false);
    }
  });
});
