/** What a Firmata board reads of its BME280: SI already, by the words of calibration in the sensor itself. */
import type { Measure } from '../../../protocol/index.ts';
import { BME280_VALUES } from '../board-setup.ts';
import { BME280_RANGES } from '../conversions/direct.ts';
import { type ConversionContext, type ResolvedConversion, UNRESOLVED } from './context.ts';

export type Bme280Value = (typeof BME280_VALUES)[number];

const MEASURES: Readonly<Record<Bme280Value, Measure>> = { temperature: 'temperature', pressure: 'pressure', humidity: 'ratio' };
const NEEDLESS = ['calibration', 'polynomial', 'loop', 'thermistor', 'unit', 'range', 'reference'] as const;

export function bme280Value(reads: string | undefined): Bme280Value | undefined {
  return BME280_VALUES.find((value) => value === reads);
}

export function resolveBme280(value: Bme280Value, { name, shape, measures, path, report }: ConversionContext): ResolvedConversion {
  const own = MEASURES[value];
  if (measures !== undefined && own !== measures) {
    report([...path, 'reads'], `the ${value} of a BME280 is a ${own}, and ${name} measures ${measures}; correct one of the two`);
    return UNRESOLVED;
  }
  const needless = NEEDLESS.find((key) => shape[key] !== undefined);
  if (needless !== undefined)
    report([...path, needless], `a BME280 tells its ${value} by itself, calibrated by its maker; remove ${needless}`, 'key');
  return {
    conversion: { kind: 'direct', multiply: 1, add: 0, divide: 1, rangeSi: BME280_RANGES[value] },
    reference: value === 'pressure' ? 'absolute' : undefined,
  };
}
