import type { ValueAndSlope } from './pchip.ts';

/** 0 below `from`, 1 above `to`, between them a cubic with no slope at either end. */
export function smoothStep(x: number, from: number, to: number): ValueAndSlope {
  if (x <= from) return { value: 0, slope: 0 };
  if (x >= to) return { value: 1, slope: 0 };
  const s = (x - from) / (to - from);
  return { value: s * s * (3 - 2 * s), slope: (6 * s * (1 - s)) / (to - from) };
}

/** (1 − w)·below + w·above, with its slope. */
export function blend(weight: ValueAndSlope, below: ValueAndSlope, above: ValueAndSlope): ValueAndSlope {
  return {
    value: below.value + weight.value * (above.value - below.value),
    slope: below.slope + weight.value * (above.slope - below.slope) + weight.slope * (above.value - below.value),
  };
}
