/**
 * Shots of the simulated launcher as the map takes them: the velocity is the world's own, every error is drawn from what
 * the demonstration rig claims. Edges and their reduction are left out; check:numbers holds those.
 */
import { HERON } from '../../../firmware-sim/world/heron.ts';
import { launch } from '../../../firmware-sim/world/launcher.ts';
import { type Random, randomStream } from '../../../firmware-sim/world/random.ts';
import type { MapLimits, MapProblem, MapShot } from '../../../host/analysis/map/index.ts';
import { drivingGas } from '../../../host/physics/index.ts';

export const AMBIENT_PA = 98_000;
export const LIMITS: MapLimits = { reservoirPressurePaMax: HERON.reservoirFillPaGaugeMax + AMBIENT_PA, ambientPressurePa: AMBIENT_PA };
/** Of the reservoir's transducer, of the vacuum gauge, of the gas's thermometer; and of readings alone. */
const CLAIMS = { reservoirPa: 7500, barrelPa: 150, gasK: 0.5, gateRelative: 2.5e-4 };
const READING = { reservoirPa: 180, barrelPa: 20, gasK: 0.1 };
const MASS = { kg: HERON.ballMassKg, uKg: HERON.ballMassUncertaintyKg };

export interface WorldOptions {
  readonly seed: number;
  /** Of the valve, from shot to shot, relative; the simulated range has 0.01. */
  readonly valveScatter?: number;
  /** Something that the launch model does not know: relative, by fill and barrel pressure. */
  readonly departure?: (reservoirPa: number, barrelPa: number) => number;
}

interface Weather {
  readonly gasTemperatureK: number;
  readonly airTemperatureK: number;
}

/** One launcher with its gauges, whose errors stay the same for all its shots. */
export class SimulatedWorld {
  readonly #random: Random;
  readonly #errors: {
    readonly offsetPa: number;
    readonly spanPa: number;
    readonly barrelPa: number;
    readonly gasK: number;
    readonly gate: number;
  };
  readonly #options: WorldOptions;
  #count = 0;

  constructor(options: WorldOptions) {
    this.#options = options;
    this.#random = randomStream(options.seed, 'campaign');
    const r = this.#random;
    this.#errors = {
      offsetPa: 0.8 * CLAIMS.reservoirPa * r.normal(),
      spanPa: 0.6 * CLAIMS.reservoirPa * r.normal(),
      barrelPa: CLAIMS.barrelPa * r.normal(),
      gasK: CLAIMS.gasK * r.normal(),
      gate: CLAIMS.gateRelative * r.normal(),
    };
  }

  /** How a shot is fired and read here, before any is. */
  like(): Pick<MapShot, 'firing' | 'reservoirGauge' | 'barrelGauge'> {
    return {
      firing: { reservoirPressurePa: 0, barrelPressurePa: 0, gasTemperatureK: 288, airTemperatureK: 285, massKg: MASS.kg },
      reservoirGauge: 'reservoir',
      barrelGauge: 'vacuum',
    };
  }

  /** What gas and air happen to be, as read. */
  weather(): Weather {
    const airTemperatureK = 285 + 2 * this.#random.normal();
    return { airTemperatureK, gasTemperatureK: airTemperatureK + 3 + this.#random.normal() };
  }

  /** Fired with gauges that read so. @returns the shot as measured, and how fast it was */
  shoot(readReservoirPa: number, readBarrelPa: number, weather = this.weather()): { readonly shot: MapShot; readonly trueMps: number } {
    const r = this.#random;
    const { valveScatter = 0.01, departure = () => 0 } = this.#options;
    const { offsetPa, spanPa, barrelPa, gasK, gate } = this.#errors;
    const reservoirPa =
      readReservoirPa - offsetPa - (spanPa * readReservoirPa) / LIMITS.reservoirPressurePaMax + READING.reservoirPa * r.normal();
    const trueBarrelPa = Math.max(readBarrelPa - barrelPa + READING.barrelPa * r.normal(), 100);
    const { airTemperatureK, gasTemperatureK } = weather;
    const fired = launch({
      reservoirVolumeM3: HERON.reservoirVolumeM3,
      boreM: HERON.boreM,
      barrelLengthM: HERON.barrelLengthM,
      ballMassKg: MASS.kg + MASS.uKg * r.normal(),
      reservoirPressurePa: reservoirPa,
      reservoirTemperatureK: gasTemperatureK - gasK + READING.gasK * r.normal(),
      barrelPressurePa: trueBarrelPa,
      ambientPressurePa: AMBIENT_PA,
      ambientTemperatureK: airTemperatureK,
      valveFactor: 1 + valveScatter * r.normal(),
    });
    const trueMps = fired.muzzleVelocityMps * (1 + departure(reservoirPa, trueBarrelPa));
    this.#count += 1;
    return {
      trueMps,
      shot: {
        id: String(this.#count),
        firing: { reservoirPressurePa: readReservoirPa, barrelPressurePa: readBarrelPa, gasTemperatureK, airTemperatureK, massKg: MASS.kg },
        readingUncertainty: { reservoirPressurePa: READING.reservoirPa, barrelPressurePa: READING.barrelPa, gasTemperatureK: READING.gasK },
        muzzleVelocityMps: { value: trueMps * (1 + gate), standardUncertainty: CLAIMS.gateRelative * trueMps },
        reservoirGauge: 'reservoir',
        barrelGauge: 'vacuum',
      },
    };
  }
}

export const problemOf = (shots: readonly MapShot[]): MapProblem => ({
  setup: {
    gas: drivingGas('nitrogen') as NonNullable<ReturnType<typeof drivingGas>>,
    reservoirVolumeM3: HERON.reservoirVolumeM3,
    boreM: HERON.boreM,
    barrelLengthM: HERON.barrelLengthM,
  },
  reservoirGauges: [{ name: 'reservoir', standardUncertaintyPa: CLAIMS.reservoirPa }],
  barrelGauges: [{ name: 'vacuum', standardUncertaintyPa: CLAIMS.barrelPa }],
  shots,
  limits: LIMITS,
});
