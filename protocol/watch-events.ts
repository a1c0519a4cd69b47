/**
 * What the watches say: of the fill, the vacuum, the weather, each transducer, each limit, and the blow-down at a firing.
 * SI; pressures absolute, gauge only in `words`. A watch speaks at once when its phase changes and otherwise at most
 * five times a second.
 */
import type { Measured } from './measured.ts';
import type { SessionNs } from './record.ts';
import type { BlowDown } from './shot.ts';

interface WatchEventBase {
  readonly atNs: SessionNs;
  /** One or two plain sentences for the crew. */
  readonly words: string;
}

/**
 * unknown: too few samples yet. empty: near the ambient. filling: rising. settling: the valve is shut and the gas cools
 * (or, after venting, warms) towards the wall. steady: settled. falling: being vented or fired.
 */
export type FillPhase = 'unknown' | 'empty' | 'filling' | 'settling' | 'steady' | 'falling';

/** Where the fill will end: `unsure` while the uncertainty reaches across an edge of the band. */
export type BandVerdict = 'within-band' | 'above-band' | 'below-band' | 'unsure';

/** What the settling of the gas after the valve was shut comes to. */
export interface Settling {
  /** What the gas shows once it is as warm as the wall, before any leak. */
  readonly settledPressurePa: Measured;
  readonly timeConstantS: Measured;
  /** How far the pressure still stands off its settled course; negative while the gas is colder than the wall. */
  readonly remainingPa: number;
  readonly verdict: BandVerdict;
  /** Until the pressure is within the band of the target; 0 when it is. Absent where it will not be. */
  readonly withinBandInS?: Measured;
}

/** What a vessel left alone says of its leak; absent while the gas's settling is not known well enough beside it. */
export interface Hold {
  readonly fromNs: SessionNs;
  readonly durationS: number;
  /** At present; positive: pressure is lost. Besides the noise and the settling, the gauge's drift and the wall's temperature are allowed for. */
  readonly leakPaPerS: Measured;
  /** A leak of this size would have been seen in 95 of 100 such holds. */
  readonly smallestLeakSeenPaPerS: number;
  /** The leak that the crew want to be able to see, and how long a hold that takes; absent where no hold is long enough. */
  readonly leakToSeePaPerS: number;
  readonly holdNeededS?: number;
}

export interface Overshoot {
  /** `target`: will settle above the target's band. `maximum`: will go above the largest allowed fill. */
  readonly over: 'target' | 'maximum';
  /** What is expected, of that which is over: settled pressure for the target, peak for the maximum. */
  readonly expectedPa: Measured;
  readonly limitPa: number;
}

export interface FillEvent extends WatchEventBase {
  readonly type: 'fill';
  readonly channel: string;
  readonly phase: FillPhase;
  readonly phaseSinceNs: SessionNs;
  readonly pressurePa: Measured;
  /** Over the span that the rate was taken from. */
  readonly ratePaPerS?: Measured;
  readonly rateSpanS?: number;
  readonly targetPa?: number;
  readonly bandPa: number;
  /** What the gas that is in would settle at if the valve were shut now; while filling only. Absent where it began from an unsettled vent. */
  readonly settledIfShutPa?: Measured;
  /** At the present rate, until the gas that is in would settle at the target; while filling only. */
  readonly timeToTargetS?: Measured;
  readonly overshoot?: Overshoot;
  readonly settling?: Settling;
  readonly hold?: Hold;
}

/**
 * unknown, open: at the ambient. pumping: falling. base: as low as the pump brings it. rising: the pump is shut off and
 * air leaks in. venting: air is let in, or the launcher was fired.
 */
export type VacuumPhase = 'unknown' | 'open' | 'pumping' | 'base' | 'rising' | 'venting';

export interface PumpDown {
  /** What it can reach; absent where its 95 % interval takes in zero, or the course does not tell it yet. */
  readonly basePressurePa?: Measured;
  /** Instead of that, where only an upper bound is known: the end of the 95 % interval, > 0. */
  readonly basePressureAtMostPa?: number;
  readonly timeConstantS: Measured;
  /** Of the target against what the pump can reach. */
  readonly target: 'none' | 'reached' | 'ahead' | 'below-base' | 'unsure';
  readonly timeToTargetS?: Measured;
}

export interface LeakUp {
  readonly fromNs: SessionNs;
  readonly durationS: number;
  readonly ratePaPerS: Measured;
  readonly smallestLeakSeenPaPerS: number;
}

export interface VacuumEvent extends WatchEventBase {
  readonly type: 'vacuum';
  readonly channel: string;
  readonly phase: VacuumPhase;
  readonly phaseSinceNs: SessionNs;
  readonly pressurePa: Measured;
  readonly ratePaPerS?: Measured;
  readonly targetPa?: number;
  readonly pumpDown?: PumpDown;
  readonly leakUp?: LeakUp;
}

export type WeatherRole = 'airTemperature' | 'airPressure' | 'airHumidity';

/** stale: too old to use. in-sun: heated by more than the air is. unfit: its transducer is not healthy. missing: never spoke. */
export type WeatherFlag = 'stale' | 'in-sun' | 'unfit' | 'missing';

export interface WeatherInput {
  readonly role: WeatherRole;
  readonly value?: Measured;
  /** Of the newest sample in it, s. */
  readonly ageS?: number;
  readonly flags: readonly WeatherFlag[];
}

export interface WeatherEvent extends WatchEventBase {
  readonly type: 'weather';
  readonly inputs: readonly WeatherInput[];
  /** Absent unless all three inputs are fit and fresh. */
  readonly densityKgM3?: Measured;
  readonly speedOfSoundMps?: Measured;
}

/**
 * waiting: never spoke. stuck: the same value to the bit for longer than its noise allows. noisy: scatters several times
 * what it did. railed: at an end of its range. fault: its loop or instrument reports one. disconnected: silent.
 */
export type Health = 'waiting' | 'healthy' | 'stuck' | 'noisy' | 'railed' | 'fault' | 'disconnected';

export interface HealthEvent extends WatchEventBase {
  readonly type: 'health';
  readonly channel: string;
  readonly health: Health;
  readonly was: Health;
  /** The value that it is stuck at or railed to; never to be shown as a reading. */
  readonly lastValueSi?: number;
}

/** latched: gone, but nobody has acknowledged it. */
export type LimitState = 'clear' | 'active' | 'active-acknowledged' | 'latched';

export interface LimitEvent extends WatchEventBase {
  readonly type: 'limit';
  readonly id: string;
  readonly channel: string;
  readonly severity: 'alarm' | 'warning';
  readonly state: LimitState;
  readonly was: LimitState;
  /** When it last left clear; an acknowledgement, or being over, leaves it as it is. */
  readonly raisedAtNs: SessionNs;
  /** Sound once for this event. Again for the same limit only after it has been clear. */
  readonly audible: boolean;
  /** The sample that caused the change, or the rate in SI a second; absent for an acknowledgement. */
  readonly valueSi?: number;
  readonly limitSi: number;
  /** Of that sample. */
  readonly sampleAtNs?: SessionNs;
  /** false: the transducer was not healthy, so the value is in doubt. */
  readonly channelHealthy: boolean;
  readonly acknowledgedBy?: string;
}

/** The closed shot has the same. */
export interface BlowDownEvent extends WatchEventBase, BlowDown {
  readonly type: 'blow-down';
  readonly shotId: string;
}

export type WatchEvent = FillEvent | VacuumEvent | WeatherEvent | HealthEvent | LimitEvent | BlowDownEvent;
