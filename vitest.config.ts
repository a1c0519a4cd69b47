import { defineConfig } from 'vitest/config';

// Drawn here once, for all the processes that tests run in.
if (process.env.POSTERN_SEED === 'drawn') process.env.POSTERN_SEED = String(Math.floor(Math.random() * 2 ** 31));

/** Nothing but computing: as many files at once as there are cores. */
const COMPUTING = ['unit', 'property', 'reference', 'simulation', 'fuzz'];
/** Real ports, processes and browsers, after the others, so that none waits for a busy machine: two files at a time, since each waits for the most part. */
const WAITING = ['faults', 'browser', 'docs'];
/** A simulated range in real time, which falls behind where others want the machine: one file at a time, after all others. */
const TIMED = ['wire'];

const BUILD = './tests/support/build-before.ts';

interface Running {
  readonly groupOrder: number;
  /** Whether each file has a process of its own. What only computes leaves nothing behind, and does not load all it imports once more. */
  readonly isolate: boolean;
  readonly maxWorkers: number | string;
  /** What waits for a machine that others use may be kept waiting too long once; what only computes may not differ. */
  readonly retry: number;
  /** Run once before its files. */
  readonly globalSetup?: string;
}

const project = (name: string, folders: readonly string[], { groupOrder, ...running }: Running) => ({
  extends: true as const,
  test: { name, include: folders.map((folder) => `tests/${folder}/**/*.test.ts`), sequence: { groupOrder }, ...running },
});

export default defineConfig({
  test: {
    // serialport aborts the process in a worker thread.
    pool: 'forks',
    setupFiles: ['./tests/support/seed-properties.ts'],
    // A machine that others use as well takes its time.
    testTimeout: 120_000,
    hookTimeout: 60_000,
    reporters: ['default', './tests/support/closing-line-reporter.ts'],
    projects: [
      project('computing', COMPUTING, { groupOrder: 0, isolate: false, maxWorkers: '100%', retry: 0 }),
      project('waiting', WAITING, { groupOrder: 1, isolate: true, maxWorkers: 2, retry: 1, globalSetup: BUILD }),
      project('timed', TIMED, { groupOrder: 2, isolate: true, maxWorkers: 1, retry: 1, globalSetup: BUILD }),
    ],
  },
});
