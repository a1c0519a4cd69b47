import type { ChannelRole } from '../../protocol/index.ts';
import type { Dimension } from '../units/index.ts';
import type { FieldReader, Report } from './fields.ts';
import type { Channel } from './rig.ts';
import type { ChannelShape } from './schema.ts';
import type { Path } from './source.ts';

const MEASURES: Readonly<Record<ChannelRole, { readonly dimension: Dimension; readonly unit: Channel['unit'] }>> = {
  reservoirPressure: { dimension: 'pressure', unit: 'Pa' },
  barrelPressure: { dimension: 'pressure', unit: 'Pa' },
  airTemperature: { dimension: 'temperature', unit: 'K' },
  airPressure: { dimension: 'pressure', unit: 'Pa' },
  airHumidity: { dimension: 'ratio', unit: '1' },
};

interface Point {
  readonly counts: number;
  readonly si: number;
  readonly reference: Channel['reference'] | undefined;
}

export function resolveChannel(role: ChannelRole, shape: ChannelShape, fields: FieldReader, report: Report): Channel {
  const path: Path = ['channels', role];
  const { dimension, unit } = MEASURES[role];
  const [first, second] = shape.calibration;
  const point = (i: 0 | 1, [counts, text]: typeof first): Point => {
    const at = [...path, 'calibration', i, 1];
    if (dimension === 'pressure') return { counts, ...fields.pressure(at, text) };
    const si = fields.plain(at, text, dimension, dimension === 'temperature' ? 'positive' : 'any');
    return { counts, si, reference: undefined };
  };
  const low = point(0, first);
  const high = point(1, second);
  checkCalibration(path, role, [low, high], report);
  return {
    role,
    unit,
    board: shape.board,
    channel: shape.channel,
    calibration: [
      { counts: low.counts, si: low.si },
      { counts: high.counts, si: high.si },
    ],
    reference: low.reference ?? 'absolute',
    standardUncertaintySi: fields.spread([...path, 'uncertainty'], shape.uncertainty, dimension, high.si - low.si),
  };
}

/** At most one problem: each of these makes those after it meaningless. */
function checkCalibration(path: Path, role: ChannelRole, [low, high]: readonly [Point, Point], report: Report): void {
  const at = [...path, 'calibration'];
  const mixed = low.reference !== undefined && high.reference !== undefined && low.reference !== high.reference;
  if (low.counts === high.counts)
    report([...at, 1, 0], `both calibration points are at ${low.counts} counts; a line needs two different counts`);
  else if (mixed)
    report([...at, 1, 1], `one calibration point is ${low.reference} and the other ${high.reference}; state both the same way`);
  else if (low.si === high.si) report([...at, 1, 1], 'both calibration points have the same value; a line needs two different values');
  // Gauge readings get the ambient pressure added, and this channel is the ambient pressure.
  else if (role === 'airPressure' && low.reference === 'gauge')
    report([...at, 0, 1], 'the pressure of the air is gauge here; state both calibration points absolute');
}
