import type { Channel } from './rig.ts';

/**
 * A raw count in SI, by the straight line through the channel's two calibration points, and beyond them too.
 * @param counts  0 to 65535
 * @returns Pa, K or 1, as the sensor reads: a gauge pressure stays gauge
 */
export function calibrate(channel: Pick<Channel, 'calibration'>, counts: number): number {
  const [low, high] = channel.calibration;
  return low.si + ((counts - low.counts) * (high.si - low.si)) / (high.counts - low.counts);
}
