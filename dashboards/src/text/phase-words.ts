/** Phases of the fill and of the vacuum, and what they come to, in plain words. */
import type { BandVerdict, FillPhase, PumpDown, VacuumPhase } from '../../../protocol/index.ts';

export const FILL_PHASE: Readonly<Record<FillPhase, string>> = {
  unknown: 'Too early to say',
  empty: 'At ambient',
  filling: 'Filling',
  settling: 'Settling',
  steady: 'Steady',
  falling: 'Falling',
};

export const VACUUM_PHASE: Readonly<Record<VacuumPhase, string>> = {
  unknown: 'Too early to say',
  open: 'At ambient',
  pumping: 'Pumping down',
  base: 'As low as it goes',
  rising: 'Pump off, rising',
  venting: 'Venting',
};

export const BAND_WORDS: Readonly<Record<BandVerdict, string>> = {
  'within-band': 'within the band',
  'above-band': 'ABOVE the band',
  'below-band': 'BELOW the band',
  unsure: 'not yet sure',
};

export const PUMP_TARGET_WORDS: Readonly<Record<PumpDown['target'], string>> = {
  none: 'no target set',
  reached: 'reached',
  ahead: 'ahead',
  'below-base': 'OUT OF REACH',
  unsure: 'not yet sure',
};
