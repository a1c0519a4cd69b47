import type { MeasuredContext, RawReader } from './level.ts';

/** The key `range` of a channel in raw numbers; undefined where there is none, NaN in it where a problem was told. */
export function readRange({ shape, path, report }: MeasuredContext, raws: RawReader): readonly [number, number] | undefined {
  if (shape.range === undefined) return undefined;
  const [low, high] = shape.range;
  const range = [raws.read(['range', 0], low), raws.read(['range', 1], high)] as const;
  if (range[0] >= range[1])
    report([...path, 'range', 1], `the range ends at ${high}, which is not above its beginning ${low}; correct one of the two`);
  return range;
}
