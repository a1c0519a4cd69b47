/**
 * The crew's routine: load, fill, let the gas settle, pump the barrel down, hold, fire, vent; and again. Each cycle is
 * drawn from the seed and its number alone; what the gas then does is in reservoir.ts and barrel.ts.
 */
import { HERON } from './heron.ts';
import { randomStream } from './random.ts';

export const PACES = ['real', 'fast'] as const;
export type Pace = (typeof PACES)[number];

/** How many times faster than really everything goes that the crew wait for: valves, pump, walls, leaks. Firings are not hurried. */
export const PACE_FACTOR: Readonly<Record<Pace, number>> = { real: 1, fast: 75 };

/** What is filled to: always the rig file's target, as a hand at the valve meets it; or from gentle to hard, barrel open or pumped. */
export const SET_POINTS = ['target', 'spread'] as const;
export type SetPoints = (typeof SET_POINTS)[number];

export type Phase = 'load' | 'fill' | 'settle' | 'pump' | 'hold' | 'vent';

/** Seconds. The valve signal comes at the end of the hold; the pump is isolated at its beginning. */
export type PhaseLengths = Readonly<Record<Phase, number>>;

export interface Cycle {
  readonly number: number;
  readonly startS: number;
  readonly lengths: PhaseLengths;
  readonly fillFromS: number;
  readonly pumpFromS: number;
  readonly firedAtS: number;
  readonly endS: number;
  readonly paceFactor: number;
  /** To what the gas will have settled, but for leaks. */
  readonly fillPaGauge: number;
  /** Absolute, when the pump is isolated; undefined: the barrel stays open to the air. */
  readonly vacuumPa: number | undefined;
}

/** At the real pace, s. */
const LENGTHS_S: PhaseLengths = { load: 20, fill: 60, settle: 60, pump: 60, hold: 20, vent: 20 };
/** The host's fit of the board's clock needs some exchanges before the first shot. */
const FIRST_SHOT_S_MIN = 2.6;
/** Relative, k = 1: how well a hand at a valve meets the target. */
const FILL_HAND = 0.003;
/** What the pump gets down to, of the target. */
const VACUUM_OF_TARGET = 0.26;

export interface CycleInput {
  readonly seed: number;
  readonly pace: Pace;
  readonly number: number;
  readonly startS: number;
  readonly setPoints: SetPoints;
  /** Range time before which nothing is fired, s. */
  readonly firstShotAfterS?: number | undefined;
}

export function planCycle({ seed, pace, number, startS, setPoints, firstShotAfterS = FIRST_SHOT_S_MIN }: CycleInput): Cycle {
  const random = randomStream(seed, `cycle/${number}`);
  const paceFactor = PACE_FACTOR[pace];
  const drawn = (phase: Phase): number => (LENGTHS_S[phase] / paceFactor) * random.between(0.94, 1.06);
  const [load, fill, settle, pump, hold, vent] = [
    drawn('load'),
    drawn('fill'),
    drawn('settle'),
    drawn('pump'),
    drawn('hold'),
    drawn('vent'),
  ];
  const missingS = Math.max(firstShotAfterS - (startS + load + fill + settle + pump + hold), 0);
  const lengths = { load: load + missingS, fill, settle, pump, hold, vent };
  const fillFromS = startS + lengths.load;
  const pumpFromS = fillFromS + fill + settle;
  const firedAtS = pumpFromS + pump + hold;
  const times = { number, startS, lengths, fillFromS, pumpFromS, firedAtS, endS: firedAtS + vent, paceFactor };
  return { ...times, ...(setPoints === 'target' ? atTarget(random) : spread(random)) };
}

type Random = ReturnType<typeof randomStream>;
type SetPoint = Pick<Cycle, 'fillPaGauge' | 'vacuumPa'>;

const atTarget = (random: Random): SetPoint => ({
  fillPaGauge: HERON.fillTargetPaGauge * (1 + FILL_HAND * random.normal()),
  vacuumPa: VACUUM_OF_TARGET * HERON.vacuumTargetPa * random.between(0.85, 1.15),
});

function spread(random: Random): SetPoint {
  // Evenly over the logarithm: as many gentle shots as hard ones.
  const fillPaGauge = 0.5e6 * (3.6 / 0.5) ** random.uniform();
  return { fillPaGauge, vacuumPa: random.uniform() < 0.15 ? undefined : 1e3 * 30 ** random.uniform() };
}
