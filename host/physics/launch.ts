/**
 * What no launcher of this kind can beat. A reading above these is a mistake, whatever else speaks for it.
 */
export interface Launch {
  /** Absolute, in the reservoir before firing. */
  readonly reservoirPressurePa: number;
  readonly reservoirVolumeM3: number;
  readonly boreM: number;
  readonly barrelLengthM: number;
  readonly massKg: number;
}

/** A launch whose gas is known. */
export interface GasLaunch extends Launch {
  /** Of the gas in the reservoir before firing; ambient, where nothing better is known. */
  readonly gasTemperatureK: number;
  readonly gas: DrivingGas;
}

export interface DrivingGas {
  readonly name: string;
  /** Ratio of specific heats. */
  readonly gamma: number;
  /** J/(kg K) */
  readonly gasConstant: number;
}

/** Ideal-gas values near 20 °C, from memory (handbook values; four digits). */
export const DRIVING_GASES: readonly DrivingGas[] = [
  { name: 'nitrogen', gamma: 1.4, gasConstant: 296.803 },
  { name: 'air', gamma: 1.4, gasConstant: 287.05287 },
  { name: 'helium', gamma: 5 / 3, gasConstant: 2077.1 },
  { name: 'argon', gamma: 5 / 3, gasConstant: 208.13 },
  { name: 'carbon dioxide', gamma: 1.289, gasConstant: 188.92 },
];

/** @returns undefined for a gas that is not listed */
export const drivingGas = (name: string): DrivingGas | undefined => DRIVING_GASES.find((gas) => gas.name === name.trim().toLowerCase());

const boreAreaM2 = (launch: Launch): number => (Math.PI * launch.boreM ** 2) / 4;

/** The reservoir's pressure on the ball all the way: v = √(2pAL/m). Energy balance. */
export const constantPressureBoundMps = (launch: Launch): number =>
  Math.sqrt((2 * launch.reservoirPressurePa * boreAreaM2(launch) * launch.barrelLengthM) / launch.massKg);

/**
 * All the work of an isothermal expansion from the reservoir into the barrel, nothing ahead of the ball, no friction:
 * v² = (2/m)·p₀V₀·ln(1 + AL/V₀).
 * Source: Rohrbach, Buresh, Madsen, Am. J. Phys. 80 (2012) 24, isothermal model without the atmosphere ahead.
 */
export const isothermalBoundMps = (launch: Launch): number =>
  Math.sqrt(
    ((2 * launch.reservoirPressurePa * launch.reservoirVolumeM3) / launch.massKg) *
      Math.log1p((boreAreaM2(launch) * launch.barrelLengthM) / launch.reservoirVolumeM3),
  );

/** The same, adiabatic: v² = (2/m)·p₀V₀/(γ−1)·[1 − (V₀/(V₀+AL))^(γ−1)]. Source: the same, eq. (2). */
export function adiabaticBoundMps(launch: GasLaunch): number {
  const { gamma } = launch.gas;
  const ratio = launch.reservoirVolumeM3 / (launch.reservoirVolumeM3 + boreAreaM2(launch) * launch.barrelLengthM);
  return Math.sqrt(
    ((2 * launch.reservoirPressurePa * launch.reservoirVolumeM3) / (launch.massKg * (gamma - 1))) * (1 - ratio ** (gamma - 1)),
  );
}

/** √(γRT), m/s */
export const soundSpeedInGasMps = (launch: GasLaunch): number =>
  Math.sqrt(launch.gas.gamma * launch.gas.gasConstant * launch.gasTemperatureK);

/**
 * No gas pushes faster than it can flow: 2a₀/(γ−1) out of a barrel-wide reservoir, √((γ+1)/2) times that out of a very
 * wide one. Riemann invariant of simple-wave theory (Seigel 1965, AGARDograph 91, from memory).
 */
export function escapeSpeedMps(launch: GasLaunch): number {
  const { gamma } = launch.gas;
  return (Math.sqrt((gamma + 1) / 2) * 2 * soundSpeedInGasMps(launch)) / (gamma - 1);
}

/**
 * The lowest of the bounds that hold whatever happens on the way. A gas at ambient temperature that expands takes in
 * heat at best, so the isothermal work bounds the adiabatic.
 */
export const fastestPossibleMps = (launch: GasLaunch): number =>
  Math.min(constantPressureBoundMps(launch), isothermalBoundMps(launch), escapeSpeedMps(launch));
