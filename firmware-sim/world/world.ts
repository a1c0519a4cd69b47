/**
 * The range as it truly is, by its own time. Advancing it plans cycles; what sensors and inputs see is then a function
 * of time alone, so the board may look a little way back (its blocks and its burst are read out after the event).
 */
import { BARREL_LEAK_PA_PER_S, barrelPa } from './barrel.ts';
import type { RangeFault } from './faults.ts';
import type { InputEdge } from './gates.ts';
import { CHANNELS } from './heron.ts';
import { LAUNCH_HISTORY_S } from './launcher.ts';
import { type Cycle, type Pace, planCycle, type SetPoints } from './procedure.ts';
import { type Random, randomStream } from './random.ts';
import { fillCourse, type GasCourse, type GasState, RESERVOIR_LEAK_PER_S, ventCourse } from './reservoir.ts';
import { drawGateBoardSensors } from './sensors.ts';
import { type Firing, fire, type ShotTruth } from './shot.ts';
import { drawTrueRig } from './true-rig.ts';
import { drawWeather } from './weather.ts';

export interface WorldOptions {
  readonly seed: number;
  readonly pace: Pace;
  /** Firings after which the range rests; undefined: for ever. */
  readonly shots?: number;
  readonly setPoints: SetPoints;
  /** Range time before which nothing is fired, s; the procedure's own where left out. */
  readonly firstShotAfterS?: number;
  readonly faults: readonly RangeFault[];
  /** Vessel and barrel do not hold what they should. */
  readonly leaky?: boolean;
}

export type SampleStream = 'slow' | 'burst';

/** SI; the reservoir's pressure is gauge, its temperature that at the thermistor. */
export type Quantity =
  | 'reservoirPressure'
  | 'reservoirTemperature'
  | 'barrelPressure'
  | 'airTemperature'
  | 'airPressure'
  | 'airHumidity'
  | 'tailwind';

export interface World {
  /** Plans whatever begins up to this time. @returns what was fired since the last call */
  advanceTo(timeS: number): readonly ShotTruth[];
  /** Hands over, once, the input edges up to this time, in time order. */
  takeEdges(untilS: number): readonly InputEdge[];
  /** One raw sample of the gate board. Each channel and stream must be asked in the order of time: its noise is drawn as it is read. */
  sampleCounts(channel: number, timeS: number, stream: SampleStream): number;
  /** What truly is. */
  trueSi(quantity: Quantity, timeS: number): number;
}

interface PlannedCycle {
  readonly cycle: Cycle;
  readonly fill: GasCourse;
  readonly vent: GasCourse;
  readonly firing: Firing;
}

/** Cycles kept to look back into: the running one and the one before. */
const CYCLES_KEPT = 2;
/** A burst sample is one conversion; a slow one is the mean of many. */
const BURST_NOISE_FACTOR = 3;

export function createWorld(options: WorldOptions): World {
  const { seed, pace, setPoints, firstShotAfterS, faults } = options;
  const shots = options.shots ?? Number.POSITIVE_INFINITY;
  const tightness = options.leaky ? 'leaky' : 'sound';
  const rig = drawTrueRig(seed);
  const weather = drawWeather(seed);
  const sensors = drawGateBoardSensors(seed);
  const noise = new Map<string, Random>();
  let planned: readonly PlannedCycle[] = [];
  let edges: readonly InputEdge[] = [];
  let unannounced: readonly ShotTruth[] = [];

  const openVessel = (timeS: number): GasState => {
    const { pressurePa: pa, temperatureK } = weather.at(timeS);
    return { pa, gasK: temperatureK, thermistorK: temperatureK };
  };

  const barrelBefore = (cycle: Cycle, timeS: number): number =>
    barrelPa(cycle, weather.at(timeS).pressurePa, BARREL_LEAK_PA_PER_S[tightness], timeS);

  const plan = (): void => {
    const before = planned.at(-1);
    const cycle = planCycle({
      seed,
      pace,
      setPoints,
      firstShotAfterS,
      number: (before?.cycle.number ?? 0) + 1,
      startS: before?.cycle.endS ?? 0,
    });
    const { number, fillFromS, firedAtS } = cycle;
    const { pressurePa: ambientPa, temperatureK: wallK } = weather.at(fillFromS);
    const start = before ? before.vent.at(fillFromS) : openVessel(fillFromS);
    const fill = fillCourse({ cycle, start, ambientPa, wallK, leakPerS: RESERVOIR_LEAK_PER_S[tightness] });
    const atFiring = fill.at(firedAtS);
    const firing = fire({
      seed,
      number,
      firedAtS,
      rig,
      air: weather.at(firedAtS),
      tailwindMps: weather.tailwindMps(firedAtS),
      reservoirPressurePa: atFiring.pa,
      reservoirTemperatureK: atFiring.gasK,
      barrelPressurePa: barrelBefore(cycle, firedAtS),
      faults,
    });
    const vent = ventCourse({ cycle, start: atFiring, launch: firing.launch, wallK });
    planned = [...planned, { cycle, fill, vent, firing }].slice(-CYCLES_KEPT);
    edges = [...edges, ...firing.edges];
    unannounced = [...unannounced, firing.truth];
  };

  const cycleAt = (timeS: number): PlannedCycle | undefined => planned.findLast(({ cycle }) => cycle.startS <= timeS) ?? planned[0];
  const cycleBefore = ({ cycle }: PlannedCycle): PlannedCycle | undefined =>
    planned.find((other) => other.cycle.number === cycle.number - 1);

  const gasAt = (timeS: number): GasState => {
    const now = cycleAt(timeS);
    if (!now) return openVessel(timeS);
    if (timeS >= now.cycle.firedAtS) return now.vent.at(timeS);
    if (timeS >= now.cycle.fillFromS) return now.fill.at(timeS);
    return cycleBefore(now)?.vent.at(timeS) ?? openVessel(timeS);
  };

  const barrelAt = (timeS: number): number => {
    const now = cycleAt(timeS);
    if (!now) return weather.at(timeS).pressurePa;
    const fired = timeS >= now.cycle.firedAtS ? now : timeS < now.cycle.fillFromS ? cycleBefore(now) : undefined;
    const sinceS = timeS - (fired?.cycle.firedAtS ?? Number.NEGATIVE_INFINITY);
    if (fired && sinceS < LAUNCH_HISTORY_S) return fired.firing.launch.barrelTapPa(sinceS);
    return fired ? weather.at(timeS).pressurePa : barrelBefore(now.cycle, timeS);
  };

  const trueSi = (quantity: Quantity, timeS: number): number => {
    switch (quantity) {
      case 'reservoirPressure':
        return gasAt(timeS).pa - weather.at(timeS).pressurePa;
      case 'reservoirTemperature':
        return gasAt(timeS).thermistorK;
      case 'barrelPressure':
        return barrelAt(timeS);
      case 'airTemperature':
        return weather.at(timeS).temperatureK;
      case 'airPressure':
        return weather.at(timeS).pressurePa;
      case 'airHumidity':
        return weather.at(timeS).relativeHumidity;
      case 'tailwind':
        return weather.tailwindMps(timeS);
    }
  };

  const noiseOf = (name: string): Random => {
    const stream = noise.get(name) ?? randomStream(seed, `noise/${name}`);
    noise.set(name, stream);
    return stream;
  };

  return {
    trueSi,
    advanceTo: (timeS) => {
      // A rest after the last shot begins where the next cycle would.
      while ((planned.at(-1)?.cycle.number ?? 0) < shots && (planned.at(-1)?.cycle.endS ?? 0) <= timeS) plan();
      const fired = unannounced.filter(({ firedAtS }) => firedAtS <= timeS);
      unannounced = unannounced.filter(({ firedAtS }) => firedAtS > timeS);
      return fired;
    },
    takeEdges: (untilS) => {
      const count = edges.findIndex(({ timeS }) => timeS > untilS);
      const taken = count < 0 ? edges : edges.slice(0, count);
      edges = edges.slice(taken.length);
      return taken;
    },
    sampleCounts: (channel, timeS, stream) => {
      const sensor = sensors[channel];
      const quantity = GATE_BOARD[channel];
      if (!sensor || !quantity) throw new RangeError(`channel ${channel}, expected 0 to ${sensors.length - 1}`);
      const noiseFactor = stream === 'burst' ? BURST_NOISE_FACTOR : 1;
      return sensor.counts(trueSi(quantity, timeS), timeS, noiseOf(`${stream}/${channel}`), noiseFactor);
    },
  };
}

/** What the gate board's transducers are fitted to, by channel number. */
const GATE_BOARD: readonly Quantity[] = CHANNELS.map(({ name }) => (name === 'barrelPressure' ? name : 'reservoirPressure'));
