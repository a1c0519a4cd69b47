import type { FillPhase, SessionNs } from '../../../protocol/index.ts';
import type { DecayFit } from '../../metrology/index.ts';
import { type Bin, type Binning, NO_BINS } from './bins.ts';
import type { Rate } from './rate.ts';

/** A vessel that was left alone: from the moment that its valve was shut. */
export interface HoldState {
  readonly fromNs: SessionNs;
  /** At most 96. */
  readonly bins: readonly Bin[];
  readonly fit: DecayFit | undefined;
  readonly fittedAtNs: SessionNs;
}

/** At most 40 recent bins and 96 of a hold: some 6 kB. */
export interface FillState {
  /** Ambient of a gauge's first samples, Pa, with which its whole course is reckoned; undefined before, or where none is added. */
  readonly heldAmbientPa: number | undefined;
  readonly binning: Binning;
  readonly recent: readonly Bin[];
  readonly rate: Rate | undefined;
  readonly phase: FillPhase;
  readonly phaseSinceNs: SessionNs;
  /** Highest or lowest bin since the filling or falling began. */
  readonly extreme: Bin | undefined;
  /** When the filling or falling began. */
  readonly startPa: number;
  readonly hold: HoldState | undefined;
  /** Of the last settling: how far the gas stood above its settled pressure, as a share of the peak. */
  readonly lastShare: number | undefined;
  readonly overshoot: 'target' | 'maximum' | undefined;
  readonly toldAtNs: SessionNs;
}

export const NEW_FILL: FillState = {
  heldAmbientPa: undefined,
  binning: NO_BINS,
  recent: [],
  rate: undefined,
  phase: 'unknown',
  phaseSinceNs: 0,
  extreme: undefined,
  startPa: 0,
  hold: undefined,
  lastShare: undefined,
  overshoot: undefined,
  toldAtNs: Number.NEGATIVE_INFINITY,
};
