/** What a channel reads now, averaged over the last seconds and before any adjustment: what a zero is taken from. */
import type { RawFault, SessionNs } from '../../../protocol/index.ts';
import { hostNs } from '../../metrology/index.ts';
import { convert, type Rig } from '../../rig/index.ts';
import { type ChannelHistory, meanBetween, type SampleStatistics } from '../channel-history.ts';
import type { PipelineState } from '../state.ts';
import { clockOf } from '../time.ts';

export interface RecentReading {
  /** SI, as the instrument reads: gauge stays gauge. NaN where the raw number gives none. */
  readonly unadjustedSi: number;
  /** Of the mean, from the scatter alone, k = 1. */
  readonly standardUncertaintySi: number;
  /** Mean of the second half of the time less that of the first; 0 where one of them has no sample. */
  readonly movedSi: number;
  /** Of that, from the scatter within each half: a slope is no scatter. */
  readonly movedStandardUncertaintySi: number;
  readonly samples: number;
  readonly ageS: number;
  readonly fault: RawFault | undefined;
}

/** Long enough to average a 50 Hz hum and a cheap converter's noise. */
const WINDOW_S = 2;
/** A digital gauge may print every few seconds. */
const SLOW_WINDOW_S = 15;
const SAMPLES_ENOUGH = 5;

/** @returns undefined where there is no such channel, its board's clock is not fitted, or nothing has come for 15 s */
export function recentReading(state: PipelineState, rig: Rig, name: string, atNs: SessionNs): RecentReading | undefined {
  const channel = rig.channels.find((each) => each.name === name);
  const history = Object.hasOwn(state.channels, name) ? state.channels[name] : undefined;
  const clock = channel && clockOf(state, rig, channel.board);
  if (!channel || !history || !clock) return undefined;
  const ticksAt = (ns: number): number => clock.referenceTicks + (ns - clock.referenceNs) / clock.nsPerTick;
  const between = (fromS: number, toS: number): SampleStatistics | undefined =>
    meanBetween(history, ticksAt(atNs - fromS * 1e9), ticksAt(atNs - toS * 1e9));
  const newestAgeS = Math.max(0, (atNs - hostNs(clock, newestTicks(history))) / 1e9);
  const quick = between(newestAgeS + WINDOW_S, newestAgeS);
  const isQuick = quick !== undefined && quick.count >= SAMPLES_ENOUGH;
  const windowS = isQuick ? WINDOW_S : SLOW_WINDOW_S;
  const statistics = newestAgeS > SLOW_WINDOW_S ? undefined : isQuick ? quick : between(newestAgeS + windowS, newestAgeS);
  if (!statistics) return undefined;
  const of = (counts: number): number => convert(channel, counts).si;
  const scatterOf = (half: SampleStatistics | undefined): number =>
    half ? of(half.meanCounts + half.meanStandardUncertaintyCounts) - of(half.meanCounts) : 0;
  const { meanCounts, count } = statistics;
  const early = between(newestAgeS + windowS, newestAgeS + windowS / 2);
  const late = between(newestAgeS + windowS / 2, newestAgeS);
  const { si, fault } = convert(channel, meanCounts);
  return {
    unadjustedSi: si,
    standardUncertaintySi: Math.abs(scatterOf(statistics)) || 0,
    movedSi: (early && late && of(late.meanCounts) - of(early.meanCounts)) || 0,
    movedStandardUncertaintySi: Math.hypot(scatterOf(early), scatterOf(late)) || 0,
    samples: count,
    ageS: newestAgeS,
    fault,
  };
}

function newestTicks({ slow }: ChannelHistory): number {
  const newest = slow.at(-1);
  return newest ? newest.ticks + (newest.counts.length - 1) * newest.periodTicks : Number.NEGATIVE_INFINITY;
}
