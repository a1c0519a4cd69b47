/** A channel's raw number as the crew read it: converted, then set right by the zero or the calibration made on the range. */
import { type Channel, type Converted, convert } from '../rig/index.ts';
import { adjusted } from './crew/adjustment.ts';
import type { PipelineState } from './state.ts';

export function readingOf({ crew: { adjustments } }: Pick<PipelineState, 'crew'>, channel: Channel, raw: number): Converted {
  const converted = convert(channel, raw);
  const adjustment = Object.hasOwn(adjustments, channel.name) ? adjustments[channel.name] : undefined;
  return adjustment ? { ...converted, si: adjusted(converted.si, adjustment) } : converted;
}
