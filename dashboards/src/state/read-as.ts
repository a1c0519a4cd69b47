/** A channel's reading as its instrument counts: gauge over the air of the moment where that is known, else absolute. */
import type { ChannelSummary } from '../../../protocol/index.ts';
import { type ChannelNow, channelNow, gaugeNow } from './channel-now.ts';

export interface ReadAs {
  readonly now: ChannelNow;
  /** Of a pressure: what it is counted from; else empty. */
  readonly reference: 'gauge' | 'absolute' | '';
  /** To be added to what is shown to get the absolute, SI. */
  readonly baseSi: number;
}

export function readAs({ name, measures, reference }: ChannelSummary): ReadAs {
  if (measures !== 'pressure') return { now: channelNow(name), reference: '', baseSi: 0 };
  const air = channelNow('airPressure').si;
  if (reference === 'gauge' && air !== undefined) return { now: gaugeNow(name), reference: 'gauge', baseSi: air };
  return { now: channelNow(name), reference: 'absolute', baseSi: 0 };
}
