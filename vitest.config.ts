import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    // serialport aborts the process in a worker thread.
    pool: 'forks',
    testTimeout: 60_000,
    hookTimeout: 60_000,
    reporters: ['default', './tests/support/closing-line-reporter.ts'],
  },
});
