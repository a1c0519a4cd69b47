import { ascending, converted } from './raw-bounds.ts';

/** The instrument tells the quantity itself: SI = (raw · multiply + add) / divide, as in the unit table. */
export interface DirectConversion {
  readonly kind: 'direct';
  readonly multiply: number;
  readonly add: number;
  readonly divide: number;
  /** What the instrument can tell, SI. */
  readonly rangeSi?: readonly [number, number];
}

/**
 * Operating range of a BME280, which hands over K, Pa and 1: −40 to 85 °C, 300 to 1100 hPa, 0 to 100 %.
 * Source: its maker's data sheet, from memory.
 */
export const BME280_RANGES = { temperature: [233.15, 358.15], pressure: [30e3, 110e3], humidity: [0, 1] } as const;

export function convertDirect({ multiply, add, divide, rangeSi }: DirectConversion, raw: number): ReturnType<typeof converted> {
  const si = (raw * multiply + add) / divide;
  return converted(si, rangeSi === undefined || (si >= rangeSi[0] && si <= rangeSi[1]) ? undefined : 'outside-range');
}

export function directRange({ rangeSi }: DirectConversion): readonly [number, number] | undefined {
  return rangeSi && ascending(rangeSi[0], rangeSi[1]);
}
