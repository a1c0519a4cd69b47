/**
 * The range as it truly is, by its own time. Advancing it plans cycles; what sensors and inputs see is then a function
 * of time alone, so the board may look a little way back (its blocks and its burst are read out after the event).
 */
import type { RangeFault } from './faults.ts';
import type { InputEdge } from './gates.ts';
import { CHANNELS, type CountsRole, READINGS, type ReadingRole } from './heron.ts';
import { LAUNCH_HISTORY_S } from './launcher.ts';
import { barrelPa, type Cycle, type CycleStart, type Pace, planCycle, reservoirPaGauge, reservoirTemperatureK } from './procedure.ts';
import { type Random, randomStream } from './random.ts';
import { drawConvertedSensor, drawSensor } from './sensors.ts';
import { type Firing, fire, type ShotTruth } from './shot.ts';
import { drawTrueRig } from './true-rig.ts';
import { drawWeather } from './weather.ts';

export interface WorldOptions {
  readonly seed: number;
  readonly pace: Pace;
  /** Firings after which the range rests; undefined: for ever. */
  readonly shots?: number;
  readonly faults: readonly RangeFault[];
}

export type SampleStream = 'slow' | 'burst';

export interface World {
  /** Plans whatever begins up to this time. @returns what was fired since the last call */
  advanceTo(timeS: number): readonly ShotTruth[];
  /** Hands over, once, the input edges up to this time, in time order. */
  takeEdges(untilS: number): readonly InputEdge[];
  /** One raw sample. Each channel and stream must be asked in the order of time: its noise is drawn as it is read. */
  sampleCounts(channel: number, timeS: number, stream: SampleStream): number;
  /** What the instrument beside the gate board shows, SI, with its error and noise; each must be asked in the order of time. */
  readSi(role: ReadingRole, timeS: number): number;
  /** The true value, SI; gauge for the reservoir, which the fill gauge shows too. */
  trueSi(role: CountsRole | ReadingRole, timeS: number): number;
}

interface PlannedCycle {
  readonly cycle: Cycle;
  readonly start: CycleStart;
  readonly firing: Firing;
}

/** Cycles kept to look back into: the running one and the one before. */
const CYCLES_KEPT = 2;
/** A burst sample is one conversion; a slow one is the mean of many. */
const BURST_NOISE_FACTOR = 3;

export function createWorld(options: WorldOptions): World {
  const { seed, pace, faults } = options;
  const shots = options.shots ?? Number.POSITIVE_INFINITY;
  const rig = drawTrueRig(seed);
  const weather = drawWeather(seed);
  const sensors = CHANNELS.map((claim) => ({ role: claim.role, ...drawConvertedSensor(seed, claim) }));
  const instruments = new Map(READINGS.map((claim) => [claim.role, drawSensor(seed, claim)]));
  const noise = new Map<string, Random>();
  let planned: readonly PlannedCycle[] = [];
  let edges: readonly InputEdge[] = [];
  let unannounced: readonly ShotTruth[] = [];

  const plan = (): void => {
    const before = planned.at(-1);
    const number = (before?.cycle.number ?? 0) + 1;
    const startS = before?.cycle.endS ?? 0;
    const cycle = planCycle({ seed, pace, number, startS });
    const start: CycleStart = {
      residualPaGauge: before ? restingPaGauge(before, startS + cycle.lengths.load) : 0,
      ambientPa: weather.at(startS).pressurePa,
    };
    const air = weather.at(cycle.firedAtS);
    const firing = fire({
      seed,
      number,
      firedAtS: cycle.firedAtS,
      rig,
      air,
      reservoirPressurePa: air.pressurePa + reservoirPaGauge(cycle, start, cycle.firedAtS),
      reservoirTemperatureK: reservoirTemperatureK(cycle, start, air.temperatureK, cycle.firedAtS),
      barrelPressurePa: barrelPa(cycle, start, cycle.firedAtS),
      faults,
    });
    planned = [...planned, { cycle, start, firing }].slice(-CYCLES_KEPT);
    edges = [...edges, ...firing.edges];
    unannounced = [...unannounced, firing.truth];
  };

  /** Gauge pressure left after a firing: what the blow-down left, then out through the vent. */
  const restingPaGauge = ({ cycle, firing }: PlannedCycle, timeS: number): number =>
    firing.launch.reservoirPa(timeS - cycle.firedAtS) - firing.truth.air.pressurePa;

  const cycleAt = (timeS: number): PlannedCycle | undefined => planned.findLast(({ cycle }) => cycle.startS <= timeS) ?? planned[0];

  const reservoirAt = (timeS: number): number => {
    const now = cycleAt(timeS);
    if (!now) return 0;
    if (timeS >= now.cycle.firedAtS) return restingPaGauge(now, timeS);
    const before = planned.find(({ cycle }) => cycle.number === now.cycle.number - 1);
    if (before && timeS < now.cycle.startS + now.cycle.lengths.load) return restingPaGauge(before, timeS);
    return reservoirPaGauge(now.cycle, now.start, timeS);
  };

  const barrelAt = (timeS: number): number => {
    const now = cycleAt(timeS);
    if (!now) return weather.at(timeS).pressurePa;
    if (timeS >= now.cycle.firedAtS) return now.firing.launch.barrelTapPa(timeS - now.cycle.firedAtS);
    const before = planned.find(({ cycle }) => cycle.number === now.cycle.number - 1);
    const sinceS = before ? timeS - before.cycle.firedAtS : Number.POSITIVE_INFINITY;
    if (before && sinceS < LAUNCH_HISTORY_S && timeS < now.cycle.startS + now.cycle.lengths.load) {
      return before.firing.launch.barrelTapPa(sinceS);
    }
    return barrelPa(now.cycle, now.start, timeS);
  };

  const trueSi = (role: CountsRole | ReadingRole, timeS: number): number => {
    switch (role) {
      case 'reservoirPressure':
      case 'fillGauge':
        return reservoirAt(timeS);
      case 'barrelPressure':
        return barrelAt(timeS);
      case 'airTemperature':
        return weather.at(timeS).temperatureK;
      case 'airPressure':
        return weather.at(timeS).pressurePa;
      case 'airHumidity':
        return weather.at(timeS).relativeHumidity;
    }
  };

  const noiseOf = (name: string): Random => {
    const stream = noise.get(name) ?? randomStream(seed, `noise/${name}`);
    noise.set(name, stream);
    return stream;
  };

  return {
    trueSi,
    readSi: (role, timeS) => instruments.get(role)?.readSi(trueSi(role, timeS), timeS, noiseOf(role), 1) ?? Number.NaN,
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
      if (!sensor) throw new RangeError(`channel ${channel}, expected 0 to ${sensors.length - 1}`);
      return sensor.counts(trueSi(sensor.role, timeS), timeS, noiseOf(`${stream}/${channel}`), stream === 'burst' ? BURST_NOISE_FACTOR : 1);
    },
  };
}
