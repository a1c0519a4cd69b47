/** A board's own clock: a quartz with a fixed error, a slow wander, and a count that began who knows when. */
import type { Random } from '../world/random.ts';

export interface BoardClockOptions {
  readonly tickRateHz: number;
  /** Fixed rate error, parts per million; positive = fast. */
  readonly errorPpm: number;
  /** Peak of the slow wander, parts per million. */
  readonly wanderPpm: number;
  readonly wanderPeriodS: number;
  readonly wanderPhase: number;
  /** Range time at which the count stood at startTicks. */
  readonly startS: number;
  readonly startTicks: number;
}

export interface BoardClock {
  /** Whole ticks at a range time, rounded down as a capture register does. */
  ticksAt(timeS: number): number;
  /** Range time at which the count reached this value. */
  timeOf(ticks: number): number;
}

export function createBoardClock(options: BoardClockOptions): BoardClock {
  const rateHz = options.tickRateHz * (1 + options.errorPpm * 1e-6);
  const angular = (2 * Math.PI) / options.wanderPeriodS;
  const wanderTicks = (options.tickRateHz * options.wanderPpm * 1e-6) / angular;
  const exact = (timeS: number): number => {
    const t = timeS - options.startS;
    return options.startTicks + rateHz * t + wanderTicks * (Math.sin(angular * t + options.wanderPhase) - Math.sin(options.wanderPhase));
  };
  return {
    ticksAt: (timeS) => Math.floor(exact(timeS)),
    timeOf: (ticks) => {
      let timeS = options.startS + (ticks - options.startTicks) / rateHz;
      // The wander moves the answer by a millionth of its own change: two rounds reach round-off.
      for (let i = 0; i < 3; i++) timeS += (ticks - exact(timeS)) / rateHz;
      return timeS;
    },
  };
}

/** Errors drawn within ±errorPpmMax, the wander included. @param startTicks  0 after a restart */
export function drawClockError(
  random: Random,
  errorPpmMax: number,
): Pick<BoardClockOptions, 'errorPpm' | 'wanderPpm' | 'wanderPeriodS' | 'wanderPhase'> {
  const wanderPpm = 0.3;
  return {
    errorPpm: random.between(-(errorPpmMax - wanderPpm), errorPpmMax - wanderPpm),
    wanderPpm,
    wanderPeriodS: random.between(600, 1800),
    wanderPhase: random.between(0, 2 * Math.PI),
  };
}
