import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { build } from 'vite';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { trimVexflow } from '../../../src/build/trim-vexflow.ts';
import { engrave } from '../../../src/engrave/engraver';
import { degreesOf, pageOf } from '../../support/engraving';
import { readSamples } from '../../support/samples';
import { runs } from '../../support/thorough';

const root = path.resolve(import.meta.dirname, '../../..');
let folder: string;
let built: typeof engrave;

/** The engraver as the app gets it: VexFlow without what is not reached, in one minified file. */
beforeAll(async () => {
  folder = mkdtempSync(path.join(tmpdir(), 'engraver-'));
  await build({
    configFile: false,
    root,
    logLevel: 'warn',
    publicDir: false,
    plugins: [trimVexflow()],
    build: {
      outDir: folder,
      emptyOutDir: true,
      target: 'es2022',
      lib: { entry: 'src/engrave/engraver.ts', formats: ['es'], fileName: () => 'engraver.js' },
    },
  });
  ({ engrave: built } = await import(pathToFileURL(path.join(folder, 'engraver.js')).href));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const svgOf = (run: typeof engrave, ...page: Parameters<typeof engrave>) =>
  run(...page).systems.map((s) => s.svg);

describe('the built engraver', () => {
  it('has nothing of VexFlow that fetches fonts, measures in a page or makes code', () => {
    const code = readFileSync(path.join(folder, 'engraver.js'), 'utf8');
    expect(code).toContain('stavenote');
    for (const word of ['jsdelivr', 'FontFace', 'createElement', 'Function(', 'structuredClone']) {
      expect(code.includes(word), word).toBe(false);
    }
  });

  it('has no silent fields where VexFlow had getters that were left out', () => {
    const code = readFileSync(path.join(folder, 'engraver.js'), 'utf8');
    for (const name of ['Element.font', 'Element.fontSize', 'Element.fontWeight']) {
      expect(code).toMatch(new RegExp(`Error\\(.${name}.\\)`, 'u'));
    }
  });

  it('draws every sample like the sources, in every choice of staves', () => {
    for (const { name, phrase } of readSamples()) {
      for (const staves of ['both', 'staff', 'tab', 'degrees'] as const) {
        const options = { staves, width: 700, degrees: degreesOf(phrase) };
        const expected = svgOf(engrave, phrase, options);
        expect(svgOf(built, phrase, options), `${name} ${staves}`).toEqual(expected);
      }
    }
  });

  it('draws generated phrases like the sources', () => {
    for (let seed = 0; seed < runs(80, 500); seed++) {
      const { phrase, options } = pageOf(seed);
      const expected = svgOf(engrave, phrase, options);
      expect(svgOf(built, phrase, options), `seed ${seed}`).toEqual(expected);
    }
  });
});
