/** How each kind of quantity is shown, in SI and in US customary units. */
import { fromSi, unitOf } from './convert.ts';
import type { Dimension } from './dimensions.ts';

export type DisplaySystem = 'SI' | 'US';

/** `vacuum` is a pressure below the ambient, `airPressure` the ambient itself; both absolute. `smallLength` is one of the projectile's size or less. */
export type QuantityKind =
  | 'velocity'
  | 'pressure'
  | 'vacuum'
  | 'airPressure'
  | 'temperature'
  | 'humidity'
  | 'length'
  | 'smallLength'
  | 'mass'
  | 'energy'
  | 'momentum'
  | 'density'
  | 'time'
  | 'voltage'
  | 'number';

export interface Display {
  /** Empty for a pure number. */
  readonly symbol: string;
  readonly fromSi: (si: number) => number;
  /** Of a difference or an uncertainty: the scale without its zero point. */
  readonly differenceFromSi: (si: number) => number;
  /** After the point, where no uncertainty says better. */
  readonly decimals: number;
}

function inUnit(dimension: Dimension, symbol: string, decimals: number): Display {
  const unit = unitOf(symbol, dimension);
  return {
    symbol,
    fromSi: (si) => fromSi(si, unit),
    differenceFromSi: (si) => (si * unit.divide) / unit.multiply,
    decimals,
  };
}

const PLAIN: Display = { symbol: '', fromSi: (si) => si, differenceFromSi: (si) => si, decimals: 3 };

export const DISPLAY: Readonly<Record<QuantityKind, Readonly<Record<DisplaySystem, Display>>>> = {
  velocity: { SI: inUnit('speed', 'm/s', 2), US: inUnit('speed', 'ft/s', 1) },
  pressure: { SI: inUnit('pressure', 'MPa', 3), US: inUnit('pressure', 'psi', 1) },
  vacuum: { SI: inUnit('pressure', 'kPa', 2), US: inUnit('pressure', 'inHg', 2) },
  airPressure: { SI: inUnit('pressure', 'hPa', 1), US: inUnit('pressure', 'inHg', 2) },
  temperature: { SI: inUnit('temperature', '°C', 1), US: inUnit('temperature', '°F', 1) },
  humidity: { SI: inUnit('ratio', '%', 0), US: inUnit('ratio', '%', 0) },
  length: { SI: inUnit('length', 'm', 3), US: inUnit('length', 'ft', 3) },
  smallLength: { SI: inUnit('length', 'mm', 1), US: inUnit('length', 'in', 3) },
  mass: { SI: inUnit('mass', 'g', 1), US: inUnit('mass', 'gr', 0) },
  energy: { SI: inUnit('energy', 'J', 0), US: inUnit('energy', 'ft·lbf', 0) },
  momentum: { SI: inUnit('momentum', 'kg·m/s', 2), US: inUnit('momentum', 'lbf·s', 2) },
  density: { SI: inUnit('density', 'kg/m³', 4), US: inUnit('density', 'lb/ft³', 5) },
  time: { SI: inUnit('time', 'ms', 4), US: inUnit('time', 'ms', 4) },
  voltage: { SI: inUnit('voltage', 'V', 3), US: inUnit('voltage', 'V', 3) },
  number: { SI: PLAIN, US: PLAIN },
};
