/** Places on the target in the crew's units: millimetres or inches, right and left, high and low. */
import { type DisplaySystem, unitOf } from '../../../host/units/index.ts';
import type { TargetPoint } from '../../../protocol/index.ts';

export interface TargetUnit {
  readonly symbol: string;
  readonly fromM: (m: number) => number;
  readonly toM: (shown: number) => number;
  readonly decimals: number;
}

const inUnit = (symbol: string, decimals: number): TargetUnit => {
  const { multiply, divide } = unitOf(symbol, 'length');
  return { symbol, fromM: (m) => (m * divide) / multiply, toM: (shown) => (shown * multiply) / divide, decimals };
};

export const TARGET_UNIT: Readonly<Record<DisplaySystem, TargetUnit>> = { SI: inUnit('mm', 0), US: inUnit('in', 2) };

/** Such as `12 mm right, 5 mm low`. */
export function pointText({ rightM, upM }: TargetPoint, system: DisplaySystem): string {
  return `${sideText(rightM, ['right', 'left'], system)}, ${sideText(upM, ['high', 'low'], system)}`;
}

export function sideText(m: number, [positive, negative]: readonly [string, string], system: DisplaySystem): string {
  const { symbol, fromM, decimals } = TARGET_UNIT[system];
  const size = Math.abs(fromM(m)).toFixed(decimals);
  return Number(size) === 0 ? `0 ${symbol}` : `${size} ${symbol} ${m < 0 ? negative : positive}`;
}

export function sizeText(m: number, system: DisplaySystem): string {
  const { symbol, fromM, decimals } = TARGET_UNIT[system];
  return `${fromM(m).toFixed(decimals)} ${symbol}`;
}
