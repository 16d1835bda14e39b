import { execFile } from 'node:child_process';
import { createRequire } from 'node:module';
import path from 'node:path';
import { promisify } from 'node:util';
import { describe, expect, it } from 'vitest';

const run = promisify(execFile);
const root = path.resolve(import.meta.dirname, '../..');
const cruiser = path.join(root, 'node_modules/.bin/depcruise');

interface Report {
  readonly summary: {
    readonly violations: readonly {
      readonly from: string;
      readonly rule: { readonly name: string };
    }[];
  };
}

async function cruise(folder: string): Promise<Report> {
  const args = [folder, '--config', '.dependency-cruiser.cjs', '--output-type', 'json'];
  const done = await run(cruiser, args, { cwd: root, maxBuffer: 64 * 1024 * 1024 }).catch(
    (e: { stdout: string }) => e,
  );
  return JSON.parse(done.stdout) as Report;
}

// That the sources keep them is `npm run rules`, which `npm test` begins with.
describe('import rules', () => {
  it('every rule rejects its bad fixture, so the check is not blind', async () => {
    const report = await cruise('tests/rules/fixtures/src');
    const found = report.summary.violations.map((v) => `${v.rule.name} < ${path.basename(v.from)}`);
    expect(found.sort()).toEqual(
      expect.arrayContaining([
        'cli-never-imports-ui < imports-ui.ts',
        'core-backing-imports-earlier-rooms < imports-library.ts',
        'core-ease-imports-earlier-rooms < imports-sound.ts',
        'core-edit-imports-no-library < imports-library.ts',
        'core-form-imports-earlier-rooms < imports-library.ts',
        'core-heard-imports-earlier-rooms < imports-library.ts',
        'core-imports-core-only < imports-io.ts',
        'core-imports-core-only < imports-node.ts',
        'core-joins-imports-earlier-rooms < imports-library.ts',
        'core-lesson-imports-earlier-rooms < imports-edit.ts',
        'core-library-imports-earlier-rooms < imports-edit.ts',
        'core-move-imports-earlier-rooms < imports-library.ts',
        'core-neck-imports-earlier-rooms < imports-move.ts',
        'core-phrase-imports-earlier-rooms < imports-technique.ts',
        'core-plan-imports-earlier-rooms < imports-edit.ts',
        'core-differing-imports-earlier-rooms < imports-edit.ts',
        'core-practice-imports-earlier-rooms < imports-library.ts',
        'core-result-is-beneath < imports-theory.ts',
        'core-rooms-are-named < imports-theory.ts',
        'core-search-imports-earlier-rooms < imports-edit.ts',
        'core-shapes-imports-earlier-rooms < imports-library.ts',
        'core-solo-imports-earlier-rooms < imports-edit.ts',
        'core-sound-imports-earlier-rooms < imports-library.ts',
        'core-technique-imports-earlier-rooms < imports-validity.ts',
        'core-theory-imports-earlier-rooms < imports-phrase.ts',
        'core-understand-imports-earlier-rooms < imports-neck.ts',
        'core-validity-imports-earlier-rooms < imports-understand.ts',
        'core-vary-imports-earlier-rooms < imports-sound.ts',
        'engrave-imports-core-only < imports-ui.ts',
        'io-imports-core-only < imports-cli.ts',
        'lesson-page-imports-core-and-sound < imports-io.ts',
        'no-cycles < cycle-a.ts',
        'no-unresolved < unresolved.ts',
        'nothing-imports-the-build < imports-build.ts',
        'nothing-imports-the-lesson-page < imports-lesson-page.ts',
        'nothing-imports-the-roots < imports-cli.ts',
        'nothing-imports-the-roots < imports-ui.ts',
        'only-engrave-vex-imports-vexflow < draws-itself.ts',
        'only-engrave-vex-imports-vexflow < imports-vexflow.ts',
        'sound-imports-core-only < imports-io.ts',
        'src-never-imports-tests < imports-tests.ts',
        'publish-imports-core-io-engrave-sound < imports-node.ts',
        'storage-imports-core-and-io < imports-engrave.ts',
        'ui-frame-never-imports-pages < imports-page.ts',
        'ui-pages-import-no-page < imports-app.ts',
        'ui-pages-import-no-page < imports-page.ts',
        'ui-score-imports-shared-only < imports-frame.ts',
        'ui-shared-is-at-the-bottom < imports-frame.ts',
      ]),
    );
    const config = createRequire(import.meta.url)(path.join(root, '.dependency-cruiser.cjs')) as {
      readonly forbidden: readonly { readonly name: string }[];
    };
    const rules = config.forbidden.map((r) => r.name);
    expect(new Set(report.summary.violations.map((v) => v.rule.name))).toEqual(new Set(rules));
  });
});
