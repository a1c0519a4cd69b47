import type { FillPhase, SessionNs } from '../../../protocol/index.ts';
import type { DecayFit } from '../../metrology/index.ts';
import { type Bin, type Binning, NO_BINS } from './bins.ts';
import type { Contents } from './fill-contents.ts';
import type { Rate } from './rate.ts';

/** A vessel that was left alone: from the moment that its valve was shut. */
export interface HoldState {
  readonly fromNs: SessionNs;
  /** At most 96. */
  readonly bins: readonly Bin[];
  readonly fit: DecayFit | undefined;
  /** When it is looked at anew. */
  readonly lookAtNs: SessionNs;
}

/** At most 40 recent bins and 96 of a hold: some 7 kB. */
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
  /** While filling, and after it as it was when the valve was shut; undefined where it began from nobody knows what. */
  readonly contents: Contents | undefined;
  /** Of the wall, by the last fill that settled, s: how fast it takes the gas's warmth away. */
  readonly wallTimeS: number | undefined;
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
  contents: undefined,
  wallTimeS: undefined,
  overshoot: undefined,
  toldAtNs: Number.NEGATIVE_INFINITY,
};
