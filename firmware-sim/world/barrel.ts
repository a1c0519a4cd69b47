/** The barrel between loading and firing: open to the air, pumped down, isolated. What a firing does to it is the launcher's. */
import type { Cycle } from './procedure.ts';

/** Rise of an evacuated barrel with its pump shut off, Pa/s at the real pace; it slows as the air outside is neared. */
export const BARREL_LEAK_PA_PER_S = { sound: 15, leaky: 150 } as const;
/** Of the pressure at which the pump is isolated: what it could reach at last. */
const BASE_SHARE = 0.9;

/** @param ambientPa  of the air at that time @returns absolute */
export function barrelPa(cycle: Cycle, ambientPa: number, leakPaPerS: number, timeS: number): number {
  const { vacuumPa, pumpFromS, lengths, paceFactor } = cycle;
  const t = timeS - pumpFromS;
  if (vacuumPa === undefined || t <= 0) return ambientPa;
  const basePa = BASE_SHARE * vacuumPa;
  // The time constant that brings the barrel to its set point as the pump is shut off.
  const tauS = lengths.pump / Math.log((ambientPa - basePa) / (vacuumPa - basePa));
  if (t < lengths.pump) return basePa + (ambientPa - basePa) * Math.exp(-t / tauS);
  const riseS = (ambientPa - vacuumPa) / (leakPaPerS * paceFactor);
  return ambientPa - (ambientPa - vacuumPa) * Math.exp(-(t - lengths.pump) / riseS);
}
