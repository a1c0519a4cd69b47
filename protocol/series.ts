/** How the sending to a server of time series is doing. No record and no event: a replay has nothing of it. */
export interface SeriesState {
  /** Kind and address, and what is in it; nothing secret. */
  readonly server: string;
  /** off: the sender is not running. waiting: the server does not take anything now. sending: it does. */
  readonly state: 'off' | 'waiting' | 'sending';
  /** Why it is not, or what is amiss with it, one sentence; empty where nothing is. */
  readonly problem: string;
  /** What the server is set to that will double or drop points, whole sentences; at most 8. */
  readonly warnings: readonly string[];
  /** Since the sender was started; what was sent twice after a break is counted twice. */
  readonly pointsSent: number;
  readonly pointsRefused: number;
  /** Samples for which the server has no room between milliseconds; left out on purpose. */
  readonly samplesThinned: number;
  /** The newest few, newest last. */
  readonly refusals: readonly { readonly line: string; readonly reason: string }[];
  /** From the newest record that the server has to now, s. */
  readonly behindS: number;
  /** Earlier sessions that are not all sent yet. */
  readonly sessionsWaiting: number;
}
