/**
 * Where the shots support an answer. Not where the launch model would still give one: a place is supported where a smooth
 * departure from it, of the size that the remainder's prior allows, would have shown in a shot near enough.
 */
import { linearGaussian, varianceAlong } from '../../metrology/index.ts';
import type { FiringConditions } from './launcher-setup.ts';
import type { MapLimits, MapShot } from './map-shot.ts';
import { remainderRow } from './remainder.ts';
import { SHOTS_MIN } from './shots-min.ts';

export interface Support {
  /** Of a departure that stays unseen there, relative to one that could be anywhere: 0 seen whole, 1 not at all. */
  readonly unseen: number;
  readonly isSupported: boolean;
  /** Why not, in a few words; empty where it is. */
  readonly reason: string;
}

/** A departure is seen where less than this part of it stays open. */
const UNSEEN_MAX = 0.5;
/** Beyond the last shot to any side the model alone would speak: so far it may. */
const BEYOND = { fillRelative: 0.06, barrelPa: 3000, barrelRelative: 0.15 };
/** Scatter over the size of a departure that matters. */
const NOISE = 0.25;

export type SupportOf = (firing: FiringConditions) => Support;

export function supportOf(shots: readonly MapShot[], limits: MapLimits): SupportOf {
  const rows = shots.map(({ firing }) => remainderRow(firing, limits));
  const posterior = linearGaussian(
    rows,
    rows.map(() => 0),
    rows.map(() => NOISE ** 2),
  );
  const span = (of: 'reservoirPressurePa' | 'barrelPressurePa') => {
    const all = shots.map(({ firing }) => firing[of]);
    return [Math.min(...all), Math.max(...all)] as const;
  };
  const [fillLow, fillHigh] = span('reservoirPressurePa');
  const [barrelLow, barrelHigh] = span('barrelPressurePa');
  const barrelMore = Math.max(BEYOND.barrelPa, BEYOND.barrelRelative * barrelHigh);
  return (firing) => {
    const row = remainderRow(firing, limits);
    const before = row.reduce((sum, wave) => sum + wave * wave, 0);
    const unseen = before > 0 ? Math.sqrt(varianceAlong(posterior, row) / before) : 1;
    const { reservoirPressurePa, barrelPressurePa } = firing;
    const reason =
      shots.length < SHOTS_MIN
        ? `by ${shots.length} of at least ${SHOTS_MIN} shots only`
        : reservoirPressurePa < fillLow * (1 - BEYOND.fillRelative)
          ? 'below the lowest fill shot so far'
          : reservoirPressurePa > fillHigh * (1 + BEYOND.fillRelative)
            ? 'above the highest fill shot so far'
            : barrelPressurePa < barrelLow - barrelMore
              ? 'below the lowest barrel pressure shot so far'
              : barrelPressurePa > barrelHigh + barrelMore
                ? 'above the highest barrel pressure shot so far'
                : unseen > UNSEEN_MAX
                  ? 'too far from any shot so far'
                  : '';
    return { unseen, isSupported: reason === '', reason };
  };
}
