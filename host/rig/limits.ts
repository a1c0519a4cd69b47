/** All limits of a rig: those of the file, and those that follow from the vessel and the fill. */
import type { LimitSummary } from '../../protocol/index.ts';
import type { Channel } from './channel.ts';
import { conversionRange } from './conversion.ts';
import type { Rig } from './rig.ts';

/** Of the channel's range: above the noise of any sound transducer, and small beside what a limit is set for. */
const CLEAR_SHARE = 0.01;
/** Of the rate that the limit is at: rates are noisier. */
export const RATE_CLEAR_SHARE = 0.1;

/** Hysteresis where the file states none: 1 % of the channel's range, or its expanded uncertainty (k = 2) where it has no range. SI. */
export function defaultClearSi(channel: Channel): number {
  const range = conversionRange(channel.conversion);
  const clearSi = range === undefined ? 2 * channel.standardUncertaintySi : CLEAR_SHARE * (range[1] - range[0]);
  // An uncertainty of zero may be claimed; a hysteresis of zero would chatter.
  return clearSi === 0 ? Number.MIN_VALUE : clearSi;
}

/**
 * @returns the vessel's own first, then the file's in its order, then channels held against each other. Without a channel reservoirPressure the vessel has none:
 *   there is nothing to hold them against.
 */
export function limitsOf(rig: Rig): readonly LimitSummary[] {
  const channel = rig.channels.find(({ name }) => name === 'reservoirPressure');
  return [...(channel === undefined ? [] : vesselLimits(rig, channel)), ...rig.limits, ...differences(rig.channels)];
}

/** Of the standard uncertainty of the difference. */
const DIFFERS_FACTOR = 3;
/** A text instrument lags by a second or two behind a vessel that is filled or fired. */
const DIFFERS_S = 5;
const DIFFERS_CLEAR_SHARE = 0.2;

function differences(channels: readonly Channel[]): readonly LimitSummary[] {
  return channels.flatMap(({ name, against, standardUncertaintySi }): readonly LimitSummary[] => {
    const other = channels.find((each) => each.name === against);
    if (!other) return [];
    const thresholdSi = DIFFERS_FACTOR * Math.hypot(standardUncertaintySi, other.standardUncertaintySi);
    const message = `${name} and ${other.name} should show the same and do not; one of them is wrong`;
    return [
      {
        id: `${name}-against-${other.name}`,
        channel: name,
        kind: 'differs-from',
        from: other.name,
        thresholdSi,
        reference: 'absolute',
        holdS: DIFFERS_S,
        clearSi: Math.max(DIFFERS_CLEAR_SHARE * thresholdSi, Number.MIN_VALUE),
        severity: 'warning',
        message,
      },
    ];
  });
}

function vesselLimits({ reservoir, fill }: Rig, channel: Channel): readonly LimitSummary[] {
  const above = (id: string, thresholdSi: number, severity: LimitSummary['severity'], message: string): LimitSummary => ({
    id,
    channel: channel.name,
    kind: 'above',
    thresholdSi,
    reference: 'gauge',
    holdS: 0,
    clearSi: defaultClearSi(channel),
    severity,
    message,
  });
  const { ratedPressurePaGauge, reliefSettingPaGauge, maximumFillPaGauge } = reservoir;
  const rate = fill?.rateMaximumPaPerS;
  return [
    above('rated-pressure', ratedPressurePaGauge, 'alarm', 'The reservoir is above its rated pressure'),
    ...(reliefSettingPaGauge === undefined
      ? []
      : [above('relief-setting', reliefSettingPaGauge, 'alarm', 'The reservoir is above the setting of its relief valve')]),
    above('maximum-fill', maximumFillPaGauge, 'warning', 'The reservoir is above the maximum fill'),
    ...(rate === undefined ? [] : [fillRate(channel, rate)]),
  ];
}

function fillRate(channel: Channel, rateMaximumPaPerS: number): LimitSummary {
  return {
    id: 'fill-rate',
    channel: channel.name,
    kind: 'rising-faster-than',
    thresholdSi: rateMaximumPaPerS,
    reference: 'absolute',
    holdS: 0,
    clearSi: RATE_CLEAR_SHARE * rateMaximumPaPerS,
    severity: 'warning',
    message: 'The reservoir fills faster than it shall',
  };
}
