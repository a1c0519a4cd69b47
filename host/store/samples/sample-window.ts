/** Ten seconds of one channel, as they are written: always the same cut, so that a rebuild writes what the live host wrote. */
import type { SamplesEvent } from '../../../protocol/index.ts';
import type { SummaryRow } from './summaries.ts';

export const WINDOW_NS = 10e9;
/** A window of a fast stream ends early, before it has more; no block is longer. */
export const WINDOW_SAMPLES_MAX = 40_000;

/** Counts that a board took at even times, and how they become SI: the calibration's value of each count, and `addedSi`. */
export interface CountBlock {
  readonly fromNs: number;
  /** Between two samples: sample i is at fromNs + i × periodNs. */
  readonly periodNs: number;
  readonly calibration: number;
  readonly addedSi: number;
  readonly counts: Int32Array;
}

/** Samples that stand alone: each has its own time. */
export interface Reading {
  readonly atNs: number;
  readonly valueSi: number;
}

/** What a count means under a calibration. */
export interface CalibrationRow {
  readonly calibration: number;
  readonly count: number;
  readonly valueSi: number;
}

export interface SampleWindow {
  readonly session: string;
  readonly channel: string;
  readonly stream: SamplesEvent['stream'];
  readonly blocks: readonly CountBlock[];
  readonly readings: readonly Reading[];
  /** Counts that none before it had: never lost, or later windows could not be read. */
  readonly calibrations: readonly CalibrationRow[];
  /** Whether there are so many samples that they are summarised by the tenth of a second too. */
  readonly dense: boolean;
  readonly tenths: readonly SummaryRow[];
  readonly seconds: readonly SummaryRow[];
  readonly tens: readonly SummaryRow[];
  readonly minutes: readonly SummaryRow[];
  /** How many there are. */
  readonly samples: number;
}
