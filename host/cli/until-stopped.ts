import { warn } from './output.ts';

/**
 * Runs until Ctrl-C (or SIGTERM), or until `work` is done; then closes. A second Ctrl-C gives up waiting: the journal is
 * whole up to the last record in any case.
 */
export async function untilStopped(work: Promise<void>, close: () => Promise<void>): Promise<void> {
  let stop = (): void => undefined;
  const stopped = new Promise<void>((resolve) => {
    stop = resolve;
  });
  let asked = false;
  const onSignal = (): void => {
    if (asked) {
      warn('Stopped at once; the journal is whole up to its last record.');
      process.exit(130);
    }
    asked = true;
    stop();
  };
  process.on('SIGINT', onSignal);
  process.on('SIGTERM', onSignal);
  try {
    await Promise.race([work, stopped]);
  } finally {
    await close();
    process.off('SIGINT', onSignal);
    process.off('SIGTERM', onSignal);
  }
}

export const forever = (): Promise<void> => new Promise(() => undefined);
