/**
 * A thermistor in a divider with a fixed resistor, read against the voltage that feeds the divider.
 *
 * Resistance to temperature by
 *   1/T = 1/298.15 K + ln(R/R₂₅)/β          (the definition of β)
 *   1/T = a + b ln R + c (ln R)³            (Steinhart and Hart, Deep-Sea Research 15 (1968) 497–503, from memory)
 * with R in ohm and T in K. The first is the second with b = 1/β, c = 0; so it is kept.
 */
import { converted, rawFault } from './raw-bounds.ts';

export interface ThermistorConversion {
  readonly kind: 'thermistor';
  readonly a: number;
  readonly b: number;
  readonly c: number;
  /** The fixed resistor, and to which end of the supply it goes. */
  readonly fixedOhm: number;
  readonly fixedTo: 'supply' | 'ground';
  readonly fullScale: number;
}

/** −55 to 150 °C: further no common bead is rated (common practice). K. */
export const thermistorRange: readonly [number, number] = [218.15, 423.15];

const T25_K = 298.15;

/** @param r25Ohm  at 25 °C */
export function betaCoefficients(r25Ohm: number, betaK: number): { readonly a: number; readonly b: number; readonly c: number } {
  return { a: 1 / T25_K - Math.log(r25Ohm) / betaK, b: 1 / betaK, c: 0 };
}

export function convertThermistor(conversion: ThermistorConversion, raw: number): ReturnType<typeof converted> {
  const railed = rawFault({ railLow: 0, railHigh: conversion.fullScale }, raw);
  if (railed !== undefined) return converted(Number.NaN, railed);
  const temperatureK = thermistorKelvin(conversion, thermistorOhm(conversion, raw));
  const inside = temperatureK >= thermistorRange[0] && temperatureK <= thermistorRange[1];
  return converted(temperatureK, inside ? undefined : 'outside-range');
}

/** @param raw  count, above 0 and below the full scale */
export function thermistorOhm({ fixedOhm, fixedTo, fullScale }: ThermistorConversion, raw: number): number {
  const share = raw / fullScale;
  return fixedTo === 'supply' ? (fixedOhm * share) / (1 - share) : (fixedOhm * (1 - share)) / share;
}

export function thermistorKelvin({ a, b, c }: Pick<ThermistorConversion, 'a' | 'b' | 'c'>, ohm: number): number {
  const logarithm = Math.log(ohm);
  return 1 / (a + b * logarithm + c * logarithm ** 3);
}
