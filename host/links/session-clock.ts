/** The session's monotonic clock: whole nanoseconds since the session was opened, never negative, never backwards. */
export interface SessionClock {
  nowNs(): number;
}
