import { defineConfig } from 'vitest/config';

/** Nothing but computing: as many files at once as there are cores. */
const COMPUTING = ['unit', 'property', 'reference', 'simulation', 'fuzz'];
/** Real ports, processes and browsers: one file at a time, after the others, so that none waits for a busy machine. */
const WAITING = ['wire', 'faults', 'browser'];

const project = (name: string, folders: readonly string[], groupOrder: number, maxWorkers: number | string) => ({
  extends: true as const,
  test: { name, include: folders.map((folder) => `tests/${folder}/**/*.test.ts`), sequence: { groupOrder }, maxWorkers },
});

export default defineConfig({
  test: {
    // serialport aborts the process in a worker thread.
    pool: 'forks',
    // A machine that others use as well takes its time.
    testTimeout: 120_000,
    hookTimeout: 60_000,
    reporters: ['default', './tests/support/closing-line-reporter.ts'],
    projects: [project('computing', COMPUTING, 0, '100%'), project('waiting', WAITING, 1, 1)],
  },
});
