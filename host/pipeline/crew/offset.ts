/** A pressure channel that should show the air's pressure: by how much it does not, before the pump starts and the fill begins. */
import type { OffsetEvent, SessionNs } from '../../../protocol/index.ts';
import { coverageFactor } from '../../metrology/index.ts';
import type { Channel } from '../../rig/index.ts';
import { amountText } from '../../units/index.ts';

const FACTOR = coverageFactor(0.95);
/** Of one reading, as a rig file's ± is expanded. */
const CLAIM_FACTOR = 2;

export interface AtRest {
  /** Mean of what the channel shows, adjusted, as it reads: gauge stays gauge. */
  readonly shownSi: number;
  /** Of the mean, from the scatter, k = 1. */
  readonly standardUncertaintySi: number;
}

/**
 * @param ambient  absolute pressure of the air, and its k = 1
 * The channel's own claim is not part of the offset's uncertainty: it is what the offset is held against.
 */
export function offsetAtAmbient(
  channel: Channel,
  { shownSi, standardUncertaintySi }: AtRest,
  ambient: { readonly value: number; readonly standardUncertainty: number },
  atNs: SessionNs,
): OffsetEvent {
  const isGauge = channel.reference === 'gauge';
  const value = shownSi - (isGauge ? 0 : ambient.value);
  const standardUncertainty = isGauge ? standardUncertaintySi : Math.hypot(standardUncertaintySi, ambient.standardUncertainty);
  const offsetSi = { value, standardUncertainty, expandedUncertainty: FACTOR * standardUncertainty };
  const claimedSi = CLAIM_FACTOR * channel.standardUncertaintySi;
  const verdict = Math.abs(value) <= offsetSi.expandedUncertainty ? 'none' : Math.abs(value) <= claimedSi ? 'within-claim' : 'beyond-claim';
  const facts = { type: 'offset', atNs, channel: channel.name, offsetSi, claimedSi, verdict } as const;
  return { ...facts, words: offsetWords(facts) };
}

function offsetWords({ channel, offsetSi, claimedSi, verdict }: Omit<OffsetEvent, 'words'>): string {
  if (verdict === 'none') return `${channel} shows the pressure of the air, as far as can be told.`;
  const size = amountText(Math.abs(offsetSi.value), 'Pa');
  const by = `${size} ± ${amountText(offsetSi.expandedUncertainty, 'Pa')} ${offsetSi.value > 0 ? 'too much' : 'too little'}`;
  const claim = `the ± ${amountText(claimedSi, 'Pa')} that the rig file allows it`;
  return verdict === 'within-claim'
    ? `If it is open to the air, ${channel} shows ${by}, within ${claim}.`
    : `If it is open to the air, ${channel} shows ${by}, beyond ${claim}: set it to zero before you go on.`;
}
