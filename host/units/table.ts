/**
 * The unit table. Each row is exact: SI value = (value · multiply + add) / divide, with whole numbers wherever the
 * definition allows, so that 1 mm is 1/1000 m and not the nearest binary fraction of 0.001 multiplied.
 * A prefix is a row of its own; nothing is put together from parts, so `min` is never milli-inch.
 *
 * Source of every factor: A. Thompson, B. N. Taylor, NIST SP 811 (2008), appendix B.8, and the definitions that it
 * names: inch 0.0254 m, pound 0.45359237 kg, standard gravity 9.80665 m/s², conventional mercury 13595.1 kg/m³.
 */
import type { Dimension } from './dimensions.ts';

export interface Unit {
  readonly symbol: string;
  readonly dimension: Dimension;
  readonly multiply: number;
  readonly divide: number;
  /** Only for a scale whose zero is not SI's. */
  readonly add: number;
  /** Other spellings that are accepted. */
  readonly aliases: readonly string[];
}

function row(dimension: Dimension, symbol: string, multiply: number, divide = 1, aliases: readonly string[] = [], add = 0): Unit {
  return { symbol, dimension, multiply, divide, add, aliases };
}

const TEMPERATURE_ALIASES = { celsius: ['degC', '℃', 'ºC'], fahrenheit: ['degF', '℉', 'ºF'] } as const;

export const UNITS: readonly Unit[] = [
  row('length', 'm', 1),
  row('length', 'cm', 1, 100),
  row('length', 'mm', 1, 1000),
  row('length', 'µm', 1, 1e6, ['um', 'μm']),
  row('length', 'km', 1000),
  row('length', 'in', 254, 10_000),
  row('length', 'ft', 3048, 10_000),
  row('length', 'yd', 9144, 10_000),

  row('mass', 'kg', 1),
  row('mass', 'g', 1, 1000),
  row('mass', 'mg', 1, 1e6),
  row('mass', 'lb', 45_359_237, 1e8),
  row('mass', 'oz', 45_359_237, 16e8),
  // Grain: a 7000th of a pound.
  row('mass', 'gr', 6_479_891, 1e11),

  row('time', 's', 1),
  row('time', 'ms', 1, 1000),
  row('time', 'µs', 1, 1e6, ['us', 'μs']),
  row('time', 'ns', 1, 1e9),
  row('time', 'min', 60),
  row('time', 'h', 3600),

  row('pressure', 'Pa', 1),
  row('pressure', 'hPa', 100),
  row('pressure', 'kPa', 1000),
  row('pressure', 'MPa', 1e6),
  row('pressure', 'mbar', 100),
  row('pressure', 'bar', 1e5),
  row('pressure', 'atm', 101_325),
  // lbf/in²: 0.45359237 · 9.80665 / 0.0254² Pa.
  row('pressure', 'psi', 44_482_216_152_605, 6_451_600_000),
  row('pressure', 'ksi', 44_482_216_152_605, 6_451_600),
  // Conventional mercury: 13595.1 · 9.80665 Pa a metre.
  row('pressure', 'inHg', 3_386_388_640_341, 1e9),
  row('pressure', 'mmHg', 133_322_387_415, 1e9),
  row('pressure', 'µmHg', 133_322_387_415, 1e12, ['umHg', 'μmHg']),
  // A 760th of an atmosphere; not the mmHg, which is 1.4e-7 larger.
  row('pressure', 'Torr', 101_325, 760),
  row('pressure', 'mTorr', 101_325, 760_000),
  // Conventional water: 1000 kg/m³.
  row('pressure', 'inH2O', 24_908_891, 100_000, ['inH₂O']),

  row('temperature', 'K', 1),
  row('temperature', '°C', 100, 100, TEMPERATURE_ALIASES.celsius, 27_315),
  row('temperature', '°F', 500, 900, TEMPERATURE_ALIASES.fahrenheit, 229_835),

  row('temperatureDifference', 'K', 1),
  row('temperatureDifference', 'mK', 1, 1000),
  row('temperatureDifference', '°C', 1, 1, TEMPERATURE_ALIASES.celsius),
  row('temperatureDifference', '°F', 5, 9, TEMPERATURE_ALIASES.fahrenheit),

  row('volume', 'm³', 1, 1, ['m3', 'm^3']),
  row('volume', 'L', 1, 1000, ['l']),
  row('volume', 'mL', 1, 1e6, ['ml']),
  row('volume', 'cm³', 1, 1e6, ['cm3', 'cm^3']),
  row('volume', 'in³', 16_387_064, 1e12, ['in3', 'in^3']),
  row('volume', 'ft³', 28_316_846_592, 1e12, ['ft3', 'ft^3']),
  row('volume', 'gal', 3_785_411_784, 1e12),

  row('frequency', 'Hz', 1),
  row('frequency', 'kHz', 1000),
  row('frequency', 'MHz', 1e6),
  row('frequency', 'GHz', 1e9),

  row('speed', 'm/s', 1),
  row('speed', 'km/h', 10, 36),
  row('speed', 'ft/s', 3048, 10_000, ['fps']),
  row('speed', 'mph', 44_704, 100_000),
  row('speed', 'kn', 1852, 3600),

  row('ratio', '%', 1, 100),
  row('ratio', 'ppm', 1, 1e6),

  row('energy', 'J', 1),
  row('energy', 'kJ', 1000),
  // 0.3048 m · 4.4482216152605 N.
  row('energy', 'ft·lbf', 13_558_179_483_314, 1e13, ['ft*lbf', 'ft-lbf', 'ftlbf']),

  row('momentum', 'kg·m/s', 1, 1, ['kg*m/s']),
  row('momentum', 'N·s', 1, 1, ['N*s', 'Ns']),
  // 4.4482216152605 N.
  row('momentum', 'lbf·s', 44_482_216_152_605, 1e13, ['lbf*s']),

  row('angle', 'rad', 1),
  row('angle', 'mrad', 1, 1000),
  row('angle', 'deg', Math.PI, 180, ['°']),

  row('density', 'kg/m³', 1, 1, ['kg/m3', 'kg/m^3']),
  row('density', 'g/cm³', 1000, 1, ['g/cm3', 'g/cm^3']),
  // 0.45359237 kg in 0.3048³ m³.
  row('density', 'lb/ft³', 453_592_370_000, 28_316_846_592, ['lb/ft3', 'lb/ft^3']),

  // The Greek capital, and the sign that looks the same.
  row('resistance', 'ohm', 1, 1, ['\u03a9', '\u2126']),
  row('resistance', 'kohm', 1000, 1, ['k\u03a9', 'k\u2126']),

  row('voltage', 'V', 1),
  row('voltage', 'mV', 1, 1000),

  row('current', 'A', 1),
  row('current', 'mA', 1, 1000),

  row('pictureLength', 'px', 1),

  row('pressureRate', 'Pa/s', 1),
  row('pressureRate', 'kPa/s', 1000),
  row('pressureRate', 'MPa/s', 1e6),
  row('pressureRate', 'bar/s', 1e5),
  row('pressureRate', 'psi/s', 44_482_216_152_605, 6_451_600_000),
  row('pressureRate', 'Pa/min', 1, 60),
  row('pressureRate', 'hPa/min', 100, 60),
  row('pressureRate', 'kPa/min', 1000, 60),
  row('pressureRate', 'MPa/min', 1e6, 60),
  row('pressureRate', 'mbar/min', 100, 60),
  row('pressureRate', 'bar/min', 1e5, 60),
  row('pressureRate', 'psi/min', 44_482_216_152_605, 387_096_000_000),
  row('pressureRate', 'inHg/min', 3_386_388_640_341, 6e10),

  row('temperatureRate', 'K/s', 1),
  row('temperatureRate', 'K/min', 1, 60, ['°C/min', 'degC/min']),
  row('temperatureRate', 'K/h', 1, 3600, ['°C/h', 'degC/h']),
  row('temperatureRate', '°F/min', 5, 540, ['degF/min']),
];
