/** Which conversion a channel's keys describe, and whether it fits the board and the quantity. Each kind is a function here. */
import { MEASURES } from '../channel.ts';
import { type ConversionContext, type ResolvedConversion, UNRESOLVED } from './context.ts';
import { resolveDirect } from './direct.ts';
import { resolveLoop } from './loop.ts';
import { resolvePoints } from './points.ts';
import { resolvePolynomial } from './polynomial.ts';
import { resolveThermistor } from './thermistor.ts';

type Way = 'calibration' | 'polynomial' | 'loop' | 'thermistor' | 'unit';

const COUNT_WAYS: readonly Way[] = ['calibration', 'polynomial', 'loop', 'thermistor'];
const TEXT_WAYS: readonly Way[] = ['unit', 'calibration', 'polynomial'];
/** Besides the key that names the way. */
const HELPERS: Readonly<Record<Way, readonly ('unit' | 'range' | 'reference')[]>> = {
  calibration: ['range', 'reference'],
  polynomial: ['unit', 'range', 'reference'],
  loop: [],
  thermistor: [],
  unit: ['range'],
};

export function resolveConversion(context: ConversionContext): ResolvedConversion {
  const way = wayOf(context);
  if (way === undefined || context.measures === undefined) return UNRESOLVED;
  const of = { ...context, measures: context.measures, dimension: MEASURES[context.measures].dimension };
  switch (way) {
    case 'calibration':
      return resolvePoints(of, context.shape.calibration ?? []);
    case 'polynomial':
      return resolvePolynomial(of, context.shape.polynomial ?? []);
    case 'loop':
      return context.shape.loop === undefined ? UNRESOLVED : resolveLoop(of, context.shape.loop);
    case 'thermistor':
      return context.shape.thermistor === undefined ? UNRESOLVED : resolveThermistor(of, context.shape.thermistor);
    case 'unit':
      return resolveDirect(of, context.shape.unit ?? '');
  }
}

function wayOf({ shape, isText, path, report }: ConversionContext): Way | undefined {
  const given = (['calibration', 'polynomial', 'loop', 'thermistor', 'unit'] as const).filter(
    (way) => shape[way] !== undefined && !(way === 'unit' && shape.polynomial !== undefined),
  );
  const [way, second] = given;
  const fitting = isText === undefined ? undefined : isText ? TEXT_WAYS : COUNT_WAYS;
  if (way === undefined) {
    // Of a board nobody knows nothing can be missing; its values may need no conversion.
    if (fitting === undefined) return undefined;
    report(path, `nothing says how the raw number becomes a quantity; add ${fitting.slice(0, -1).join(', ')} or ${fitting.at(-1)}`, 'key');
    return undefined;
  }
  if (second !== undefined) {
    report([...path, second], `the channel has both ${way} and ${second}; keep one of the two`, 'key');
    return undefined;
  }
  if (fitting !== undefined && !fitting.includes(way)) {
    report([...path, way], unfitting(way, fitting), 'key');
    return undefined;
  }
  const idle = (['unit', 'range', 'reference'] as const).find(
    (key) => key !== way && shape[key] !== undefined && !HELPERS[way].includes(key),
  );
  if (idle !== undefined) report([...path, idle], `${idle} has no use with ${way}; remove it`, 'key');
  return way;
}

function unfitting(way: Way, fitting: readonly Way[]): string {
  const instead = `write ${fitting.slice(0, -1).join(', ')} or ${fitting.at(-1)} instead`;
  if (way === 'unit') return `a count has no unit by itself; ${instead}`;
  return `${way} goes with the counts of a board, and a text instrument prints numbers; ${instead}`;
}
