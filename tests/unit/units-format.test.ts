import { describe, expect, it } from 'vitest';
import { DISPLAY, formatParts, formatValue, formatWithUncertainty, NO_VALUE, type QuantityKind } from '../../host/units/index.ts';

describe('shown values', () => {
  it.each<[number, QuantityKind, string, string]>([
    [312.4567, 'velocity', '312.46 m/s', '1025.1 ft/s'],
    [3.5e6, 'pressure', '3.500 MPa', '507.6 psi'],
    [101_325, 'airPressure', '1013.3 hPa', '29.92 inHg'],
    [5000, 'vacuum', '5.00 kPa', '1.48 inHg'],
    [293.15, 'temperature', '20.0 °C', '68.0 °F'],
    [0.456, 'humidity', '46 %', '46 %'],
    [11, 'length', '11.000 m', '36.089 ft'],
    [0.0598, 'smallLength', '59.8 mm', '2.354 in'],
    [0.126, 'mass', '126.0 g', '1944 gr'],
    [6150, 'energy', '6150 J', '4536 ft·lbf'],
    [1.225, 'density', '1.2250 kg/m³', '0.07647 lb/ft³'],
    [0.91249, 'number', '0.912', '0.912'],
  ])('%d of %s', (si, kind, inSi, inUs) => {
    expect(formatValue(si, kind, 'SI')).toBe(inSi);
    expect(formatValue(si, kind, 'US')).toBe(inUs);
  });

  it.each<[number, number, string]>([
    // JCGM 100:2008, 7.2.6: at most two significant digits of uncertainty, the value to the same place.
    [312.4567, 0.2104, '312.46 m/s ± 0.21'],
    [312.4567, 0.0996, '312.46 m/s ± 0.10'],
    [312.4567, 0.0994, '312.457 m/s ± 0.099'],
    [312.4567, 1.96, '312.5 m/s ± 2.0'],
    [312.4567, 9.96, '312 m/s ± 10'],
    [3124.567, 123, '3120 m/s ± 120'],
    [3124.567, 4567, '3100 m/s ± 4600'],
    [-0.0004, 0.02, '0.000 m/s ± 0.020'],
    [312.4567, 0, '312.46 m/s'],
    [312.4567, Number.NaN, '312.46 m/s'],
  ])('%d ± %d', (si, uSi, text) => {
    expect(formatWithUncertainty(si, uSi, 'velocity', 'SI')).toBe(text);
  });

  it('shows an uncertainty of temperature without the zero point', () => {
    expect(formatWithUncertainty(293.15, 0.4, 'temperature', 'SI')).toBe('20.00 °C ± 0.40');
    expect(formatWithUncertainty(293.15, 0.4, 'temperature', 'US')).toBe('68.00 °F ± 0.72');
  });

  it('shows a dash for what is not there, and no unit for a pure number', () => {
    expect(formatParts(Number.NaN, 1, 'velocity', 'SI')).toEqual({ value: NO_VALUE, symbol: 'm/s', uncertainty: '' });
    expect(formatWithUncertainty(0.9125, 0.0042, 'number', 'SI')).toBe('0.9125 ± 0.0042');
  });

  it('has both systems for every kind', () => {
    for (const [kind, { SI, US }] of Object.entries(DISPLAY)) {
      expect(Number.isInteger(SI.decimals) && Number.isInteger(US.decimals), kind).toBe(true);
    }
  });
});
