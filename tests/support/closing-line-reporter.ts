import type { Reporter, TestModule, Vitest } from 'vitest/node';
import { SEED } from './seed.ts';

/**
 * Begins a run with its seed, and ends it with `N passed, N failed` alone on a line; before that it names each test that passed only when it was done
 * again, with what it failed by at first. A module that could not be loaded counts as one failure.
 */
export default class ClosingLineReporter implements Reporter {
  #isFiltered = false;

  onInit(vitest: Vitest): void {
    this.#isFiltered = vitest.config.testNamePattern !== undefined;
    process.stdout.write(`POSTERN_SEED=${SEED}\n`);
  }

  onTestRunEnd(modules: readonly TestModule[], unhandledErrors: readonly unknown[]): void {
    let passed = 0;
    let failed = unhandledErrors.length;
    for (const module of modules) {
      const tests = [...module.children.allTests()];
      passed += tests.filter((test) => test.result().state === 'passed').length;
      for (const test of tests.filter((each) => each.result().state === 'passed' && (each.diagnostic()?.retryCount ?? 0) > 0)) {
        const [first] = test.result().errors ?? [];
        process.stdout.write(
          `\nPassed only when done again: ${module.relativeModuleId} > ${test.fullName}: ${first?.message ?? 'no error kept'}\n`,
        );
      }
      const failedTests = tests.filter((test) => test.result().state === 'failed').length;
      failed += failedTests === 0 && module.state() === 'failed' ? 1 : failedTests;
      // Nothing here may be left out: a test that did not run is a failure, unless only some were asked for by name.
      if (!this.#isFiltered)
        failed += tests.filter((test) => test.result().state === 'skipped' || test.result().state === 'pending').length;
    }
    process.stdout.write(`\n${passed} passed, ${failed} failed\n`);
    if (failed > 0) process.exitCode = 1;
  }
}
