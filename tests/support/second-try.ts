import type { Reporter, TestModule } from 'vitest/node';

/**
 * Tells at the end which tests passed only when they were tried again, with what they said the first
 * time. The browser's tests have a second try, since a page on a busy machine can redraw between two
 * questions of a test; a second pass says only that it does not fail always, so each one told here is
 * looked into like a failure.
 */
export default class SecondTry implements Reporter {
  onTestRunEnd(modules: readonly TestModule[]): void {
    const told = modules.flatMap((m) =>
      [...m.children.allTests()].flatMap((test) => {
        if (test.diagnostic()?.flaky !== true) return [];
        const errors = test.result().errors ?? [];
        return [
          [
            `${m.relativeModuleId} > ${test.fullName}`,
            ...errors.map((e) => e.stack ?? e.message),
          ].join('\n  '),
        ];
      }),
    );
    if (told.length === 0) return;
    console.log(`\nPassed only on the second try: ${told.length}\n${told.join('\n')}\n`);
  }
}
