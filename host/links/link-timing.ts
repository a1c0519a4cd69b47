export interface LinkTiming {
  /** No byte for so long: silent, and the port is closed and opened again. */
  readonly silenceMs: number;
  /** Bytes for so long without a sign that they are the expected device's: a wrong device. Longer than a board takes to start. */
  readonly proofMs: number;
  /** A port where a wrong device was found is left alone for so long, unless something else is plugged in there. */
  readonly wrongMs: number;
  /** First and longest wait before opening again; doubles in between, and begins anew when the link has run for `steadyMs`. */
  readonly retryMs: readonly [number, number];
  readonly steadyMs: number;
  /** Only after so many tries at its own place is a device looked for at other ports: a loose contact is back by then. */
  readonly triesBeforeSearch: number;
  /** How often an absent path is looked for, and an open one checked for having vanished or been replaced. */
  readonly lookMs: number;
}

export const LINK_TIMING: LinkTiming = {
  silenceMs: 3000,
  proofMs: 4000,
  wrongMs: 10_000,
  retryMs: [200, 2000],
  steadyMs: 1000,
  triesBeforeSearch: 2,
  lookMs: 100,
};
