/** By how much a pressure channel is off while it is open to the air, and what to do about it. */
import { type DisplaySystem, formatParts } from '../../../host/units/index.ts';
import type { OffsetEvent } from '../../../protocol/index.ts';

export interface OffsetWords {
  readonly text: string;
  /** To be set right before the crew go on. */
  readonly isBeyondClaim: boolean;
}

export interface OffsetToSay {
  readonly offset: Pick<OffsetEvent, 'offsetSi' | 'claimedSi' | 'verdict'>;
  /** What to do about one beyond its claim, such as `zero it before the pump starts`. */
  readonly remedy: string;
  readonly system: DisplaySystem;
}

/** Such as `12.0 ± 3.0 kPa too high at ambient: zero it before the pump starts`; ± is expanded, 95 %. */
export function offsetWords({ offset: { offsetSi, claimedSi, verdict }, remedy, system }: OffsetToSay): OffsetWords {
  if (verdict === 'none') return { text: 'none that can be seen', isBeyondClaim: false };
  // Offsets are small beside a fill: the vacuum's unit suits both.
  const size = formatParts(Math.abs(offsetSi.value), offsetSi.expandedUncertainty, 'vacuum', system);
  const by = `${size.uncertainty === '' ? size.value : `${size.value} ± ${size.uncertainty}`} ${size.symbol}`;
  const off = `${by} too ${offsetSi.value > 0 ? 'high' : 'low'} at ambient`;
  if (verdict === 'beyond-claim') return { text: `${off}: ${remedy}`, isBeyondClaim: true };
  const claim = formatParts(claimedSi, undefined, 'vacuum', system);
  return { text: `${off}, within its ± ${claim.value} ${claim.symbol}`, isBeyondClaim: false };
}
