import { expect } from 'vitest';

/** Passes a value that must be there on; fails the test where it is not. */
export function known<T>(value: T | undefined): T {
  if (value === undefined) expect.fail('nothing where a value was expected');
  return value;
}

/** Each value within a relative tolerance of the one beside it. */
export function expectClose(values: readonly number[], expected: readonly number[], relative: number): void {
  expect(values).toHaveLength(expected.length);
  for (const [i, value] of values.entries()) {
    const difference = Math.abs(value - known(expected[i])) / Math.abs(known(expected[i]));
    expect(difference, `${value} against ${expected[i]} at ${i}`).toBeLessThan(relative);
  }
}
