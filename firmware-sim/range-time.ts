/**
 * Range time by the wall clock. A machine that cannot run the range in real time runs it at a steady share of that
 * (`rate`), and whoever watches it must go by the same clock: rate and beginning are all that it takes.
 */
export interface TimeScale {
  /** Range seconds for each second on the wall, > 0; 1: real time. */
  readonly rate: number;
  /** UTC at range time 0, ms. */
  readonly beganUtcMs: number;
}

export interface RangeTime extends TimeScale {
  /** Since the beginning, s; only forward. */
  nowS(): number;
}

export function startRangeTime(rate = 1): RangeTime {
  // One reading of each clock, at the same moment: range time never steps when UTC does.
  const startMs = performance.now();
  return { rate, beganUtcMs: Date.now(), nowS: () => ((performance.now() - startMs) * rate) / 1000 };
}

/** Room above real time, for what else the machine has to do meanwhile; and the slowest that makes sense to watch. */
const ROOM = 1.4;
const RATE_MIN = 0.05;

/** @param speed  range seconds that the machine could do in one second, if it did nothing else */
export function rateFor(speed: number): number {
  if (speed >= ROOM) return 1;
  return Math.max(Math.floor((20 * speed) / ROOM) / 20, RATE_MIN);
}
