/** Fills of the simulated world's own gas, which shares no code with the watch, seen by a drawn transducer. */
import type { Cycle } from '../../firmware-sim/world/procedure.ts';
import type { Random } from '../../firmware-sim/world/random.ts';
import { fillCourse, type GasCourse } from '../../firmware-sim/world/reservoir.ts';
import type { ChannelWatchSetup, FillSetup, WatchSamples } from '../../host/pipeline/watches/index.ts';
import { AMBIENT_PA, blocksOf, drawSensor, FILL, RESERVOIR, type Sensed, sense } from './watch-courses.ts';

export interface GasFill {
  /** Gauge, once it has settled. */
  readonly settledPaGauge: number;
  readonly fillS: number;
  readonly holdS: number;
  /** Of the gas, at the demonstration's target, s; at another mass as its cube root. */
  readonly wallS: number;
  readonly leakPerS: number;
}

export interface SeenFill {
  readonly blocks: readonly WatchSamples[];
  readonly shutAtS: number;
  readonly endS: number;
  /** Absolute, true. */
  truePa(s: number): number;
  /** Where the gas that is in would settle, absolute. */
  settledPa(s: number): number;
  /** Of the settled pressure at the end, Pa/s. */
  readonly leakPaPerS: number;
}

const RATE_HZ = 250;
/** As 180 Pa at 1 kHz. */
const NOISE_PA = 90;
const WALL_K = 285;
/** Of the world's gas at the demonstration's target. */
const WORLD_WALL_S = 12;

/** From an empty vessel, or one that holds `startPa` at rest. */
export function seenFill(
  random: Random,
  fill: GasFill,
  options: {
    readonly startS?: number;
    readonly startPa?: number;
    readonly sensor?: Sensed;
    readonly channel?: ChannelWatchSetup;
    readonly setup?: FillSetup;
  } = {},
): SeenFill {
  const { settledPaGauge, fillS, holdS, wallS, leakPerS } = fill;
  const { startS = 0, startPa = AMBIENT_PA, channel = RESERVOIR, setup = FILL } = options;
  const paceFactor = WORLD_WALL_S / wallS;
  const fillFromS = startS + 3;
  const endS = fillFromS + fillS + holdS;
  const cycle: Cycle = {
    number: 1,
    startS,
    lengths: { load: 3, fill: fillS, settle: holdS, pump: 0, hold: 0, vent: 0 },
    fillFromS,
    pumpFromS: endS,
    firedAtS: endS,
    endS,
    paceFactor,
    fillPaGauge: settledPaGauge,
    vacuumPa: undefined,
  };
  const start = { pa: startPa, gasK: WALL_K, thermistorK: WALL_K };
  const course: GasCourse = fillCourse({ cycle, start, ambientPa: AMBIENT_PA, wallK: WALL_K, leakPerS: leakPerS / paceFactor });
  const truePa = (s: number): number => (s < fillFromS ? startPa : course.at(s).pa);
  const settledPa = (s: number): number => (s < fillFromS ? startPa : (course.at(s).pa * WALL_K) / course.at(s).gasK);
  const sensor = options.sensor ?? drawDrifting(random, channel, settledPaGauge + AMBIENT_PA, setup);
  const valueAt = (s: number) => sense(sensor, truePa(s), s);
  const blocks = [...blocksOf({ channel: channel.channel, lengthS: endS - startS, rateHz: RATE_HZ, perBlock: 25, fromS: startS, valueAt })];
  return { blocks, shutAtS: fillFromS + fillS, endS, truePa, settledPa, leakPaPerS: leakPerS * (settledPaGauge + AMBIENT_PA) };
}

/** Its own drift and the wall's, as much as the watch allows for. */
function drawDrifting(random: Random, channel: ChannelWatchSetup, levelPa: number, setup: FillSetup): Sensed {
  const driftPaPerS = Math.hypot(channel.driftSiPerS, (levelPa / setup.wallTemperatureK) * setup.wallDriftKPerS);
  return { ...drawSensor(random, channel, levelPa, setup.maximumPa, NOISE_PA), driftSiPerS: driftPaPerS * random.normal() };
}

export function drawGasFill(random: Random): GasFill {
  return {
    settledPaGauge: random.between(0.8e6, 3.4e6),
    fillS: random.between(20, 120),
    holdS: 120,
    wallS: 12 * Math.exp(0.5 * random.normal()),
    leakPerS: Math.exp(random.between(Math.log(5e-6), Math.log(1e-3))),
  };
}
