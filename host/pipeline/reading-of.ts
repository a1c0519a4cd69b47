/** A channel's raw number as the crew read it: converted, then set right by the zero or the calibration made on the range. */
import type { Adjustment } from '../../protocol/index.ts';
import { type Channel, type Converted, convert } from '../rig/index.ts';
import type { PipelineState } from './state.ts';

export const UNADJUSTED: Adjustment = { gain: 1, offsetSi: 0 };

export function readingOf(state: Pick<PipelineState, 'adjustments'>, channel: Channel, raw: number): Converted {
  const converted = convert(channel, raw);
  const adjustment = Object.hasOwn(state.adjustments, channel.name) ? state.adjustments[channel.name] : undefined;
  return adjustment ? { ...converted, si: converted.si * adjustment.gain + adjustment.offsetSi } : converted;
}
