/** Waits that end early, and leave nothing behind, when what they wait for has become pointless. */
import type { EventEmitter } from 'node:events';

/** Resolves after the time, or at once upon the signal. */
export function pause(waitMs: number, signal: AbortSignal): Promise<void> {
  return waitFor(waitMs, signal, () => () => {}).then(() => {});
}

/** @returns true where the event came, false where the time was over or the signal given */
export function heard(emitter: EventEmitter, event: string, waitMs: number, signal: AbortSignal): Promise<boolean> {
  return waitFor<true>(waitMs, signal, (done) => {
    const listener = (): void => done(true);
    emitter.on(event, listener);
    return () => emitter.removeListener(event, listener);
  }).then((came) => came === true);
}

/**
 * @param begin  starts listening; what it returns stops it, and is called exactly once
 * @returns what `done` was first given, or undefined
 */
export function waitFor<T>(
  waitMs: number,
  signal: AbortSignal,
  begin: (done: (value: T | undefined) => void) => () => void,
): Promise<T | undefined> {
  if (signal.aborted) return Promise.resolve(undefined);
  let ended = (): void => {};
  return new Promise<T | undefined>((resolve) => {
    const onAbort = (): void => resolve(undefined);
    const timer = setTimeout(onAbort, waitMs);
    signal.addEventListener('abort', onAbort);
    const stop = begin(resolve);
    ended = () => {
      clearTimeout(timer);
      signal.removeEventListener('abort', onAbort);
      stop();
    };
  }).finally(() => ended());
}
