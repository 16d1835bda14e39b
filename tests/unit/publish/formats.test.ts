import { readFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { helpText } from '../../../src/cli/help';
import { run } from '../../../src/cli/run';
import { FONT_FILES } from '../../../src/engrave/font/files-data';
import { type FontFile, type Look, type Tools, USUAL_LOOK } from '../../../src/publish/format';
import { formatRow, PUBLISH_FORMATS, publishFormatOf } from '../../../src/publish/formats';
import { publish } from '../../../src/publish/publish';
import { memoryIo } from '../../support/memory-io';
import { readSamples } from '../../support/samples';

const FONTS = path.resolve(import.meta.dirname, '../../../src/engrave/font');
const sample = readSamples()[0]!;

const TOOLS: Tools = {
  font: async (file) => readFileSync(path.join(FONTS, file)).toString('base64'),
  paint: null,
};
const LOOK: Look = { ...USUAL_LOOK, degrees: 'chord' };
const PROGRESS = { onPhrase: () => {}, signal: new AbortController().signal };

async function cli(args: readonly string[], files: Readonly<Record<string, string>>) {
  const io = memoryIo({ files });
  const code = await run(args, io);
  return { code, io };
}

describe('the table of formats', () => {
  it('is named by its endings', () => {
    for (const f of PUBLISH_FORMATS) expect(publishFormatOf(`a.b.${f.toUpperCase()}`)).toBe(f);
    expect(publishFormatOf('a.xml')).toBe('musicxml');
    expect(publishFormatOf('svg')).toBeNull();
  });

  it.each(['convert', 'move'] as const)('stands in the help of %s', (command) => {
    for (const f of PUBLISH_FORMATS)
      expect(helpText(command)).toMatch(new RegExp(`^ {2}\\.${f} `, 'mu'));
  });

  it('is written by the command line as by the app, wherever no browser is needed', async () => {
    for (const f of PUBLISH_FORMATS) {
      const row = formatRow(f);
      const out = `x.${f}`;
      const degrees = row.degrees ? 'chord' : 'off';
      const { code, io } = await cli(['convert', 'S', '-o', out], { S: sample.text });
      if (row.made === 'in a browser') {
        expect([code, io.disk.has(out)], f).toEqual([2, false]);
        expect(io.stderr()).toMatch(/is made by the app in the browser only\. Write a drawing/u);
        continue;
      }
      expect(code, f).toBe(0);
      const app = await publish([sample.phrase], f, { ...LOOK, degrees }, TOOLS, PROGRESS);
      const bytes =
        typeof app.content === 'string' ? new TextEncoder().encode(app.content) : app.content;
      expect(Buffer.from(io.disk.get(out)!).equals(Buffer.from(bytes)), f).toBe(true);
    }
  });
});

describe('a drawing', () => {
  it('holds the fonts as they are in their files', () => {
    for (const [file, text] of Object.entries(FONT_FILES) as [FontFile, string][]) {
      expect(readFileSync(path.join(FONTS, file)).equals(Buffer.from(text, 'base64')), file).toBe(
        true,
      );
    }
  });

  it('of a phrase that was moved', async () => {
    const files = { S: sample.text };
    const { code, io } = await cli(['move', 'S', '--chord', 'IV7', '-o', 'x.svg'], files);
    expect(code).toBe(0);
    const svg = new TextDecoder().decode(io.disk.get('x.svg'));
    expect(svg).toMatch(/^<svg xmlns="http:\/\/www.w3.org\/2000\/svg" width="808" /u);
    expect(svg.match(/@font-face/gu)).toHaveLength(3);
    expect(svg).toContain('class="dw-sign"');
  });

  it('is as it is asked for', async () => {
    const files = { S: sample.text };
    const write = async (...args: readonly string[]) => {
      const { code, io } = await cli(['convert', 'S', '-o', 'x.svg', ...args], files);
      expect(code).toBe(0);
      return new TextDecoder().decode(io.disk.get('x.svg'));
    };
    expect(await write('--legend', 'off')).not.toContain('class="dw-sign"');
    expect(await write('--degrees', 'off')).not.toContain('dw-degree');
    expect(await write('--staves', 'tab')).not.toBe(await write());
    const { code, io } = await cli(['convert', 'S', '-o', 'x.svg', '--staves', 'two'], files);
    expect([code, io.stderr()]).toEqual([
      2,
      expect.stringContaining("'two' is no value of --staves. Use both, staff, tab."),
    ]);
  });
});
