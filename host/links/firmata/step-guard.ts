/**
 * Firmata has no checksum: a damaged message gives a number like any other. What shows it is that the number stands
 * alone. A value is believed that lies near the last one believed, or near the one that comes after it.
 */
export interface GuardedValue<T> {
  readonly value: T;
  readonly atNs: number;
}

export interface StepGuard<T> {
  /** @returns what is believed by now, oldest first: none, this one, or also the one before it */
  take(value: T, atNs: number): readonly GuardedValue<T>[];
  /** After a gap, where the last value says nothing of the next. */
  reset(): void;
  /** Values not believed. */
  readonly dropped: number;
}

/**
 * @param isNear  whether a value may follow another
 * @param needs  `confirmation`: a value far from the last is dropped unless the next one is near it.
 *   `no-return`: it is dropped only where the next one is back near the last, so that a signal that truly moves fast or swings gets through.
 */
export function createStepGuard<T>(isNear: (a: T, b: T) => boolean, needs: 'confirmation' | 'no-return'): StepGuard<T> {
  let last: T | undefined;
  let held: GuardedValue<T> | undefined;
  let dropped = 0;

  const settle = (value: T): readonly GuardedValue<T>[] => {
    if (held === undefined) return [];
    const before = held;
    held = undefined;
    const hasReturned = last !== undefined && isNear(value, last);
    if (isNear(value, before.value) || (needs === 'no-return' && !hasReturned)) {
      last = before.value;
      return [before];
    }
    dropped += 1;
    return [];
  };

  return {
    take: (value, atNs) => {
      const believed = settle(value);
      if (last !== undefined && isNear(value, last)) {
        last = value;
        return [...believed, { value, atNs }];
      }
      held = { value, atNs };
      return believed;
    },
    reset: () => {
      last = undefined;
      held = undefined;
    },
    get dropped() {
      return dropped;
    },
  };
}
