/** While it fills: when the target is reached, and whether it will be too much. */
import type { Measured, Overshoot } from '../../../protocol/index.ts';
import { rectangularStandardUncertainty } from '../../metrology/index.ts';
import { contentsIn, middleOf, settledRange } from './fill-contents.ts';
import type { FillState } from './fill-state.ts';
import { measured } from './measured.ts';
import type { ChannelWatchSetup, FillSetup } from './setup.ts';

/** A warning is taken back only when what is expected has fallen this part of the band below the limit. */
const BACK_OF_BAND = 0.5;

/** Where the gas that is in would settle. @returns undefined where nobody knows what it began from */
export function settledIfShut({ contents, wallTimeS }: FillState, channel: ChannelWatchSetup): Measured | undefined {
  if (!contents) return undefined;
  const { value, standardUncertainty } = middleOf(settledRange(contents, wallTimeS));
  return measured(value, standardUncertainty, channel.standardUncertaintySi);
}

/**
 * Until the gas that is in would settle at the target, at the present rate of the pressure: the earliest that it can be,
 * and the latest.
 * @returns undefined where the pressure does not rise, or nobody knows what the fill began from
 */
export function timeToTarget({ contents, wallTimeS, rate }: FillState, setup: FillSetup, channel: ChannelWatchSetup): Measured | undefined {
  const { targetPa, gamma } = setup;
  if (!contents || !rate || targetPa === undefined || rate.slope < 2 * rate.standardUncertainty) return undefined;
  // With no heat to the wall the settled pressure rises as 1/γ of the pressure, which is the slowest that it can.
  const mostS = (gamma * (targetPa - settledRange(contents, undefined).lowPa)) / rate.slope;
  const until = (end: 'lowPa' | 'highPa'): number => {
    const inS = (s: number): number => settledRange(contentsIn(contents, s, rate.slope, gamma), wallTimeS)[end];
    return firstAbove(inS, targetPa, mostS);
  };
  const [earliestS, latestS] = [until('highPa'), until('lowPa')];
  if (latestS <= 0) return measured(0);
  const middleS = (earliestS + latestS) / 2;
  return measured(
    middleS,
    rectangularStandardUncertainty((latestS - earliestS) / 2),
    middleS * (rate.standardUncertainty / rate.slope),
    channel.standardUncertaintySi / rate.slope,
  );
}

const HALVINGS = 30;

/** Of a function that rises: where it comes to a level, by halving what is between 0 and `mostS`. */
function firstAbove(of: (s: number) => number, level: number, mostS: number): number {
  if (!(mostS > 0) || of(0) >= level) return 0;
  let [low, high] = [0, mostS];
  for (let i = 0; i < HALVINGS; i++) {
    const middle = (low + high) / 2;
    if (of(middle) >= level) high = middle;
    else low = middle;
  }
  return high;
}

/**
 * If the valve is shut now, it is shut a reaction later: the pressure has then risen further, and falls back as the gas
 * cools.
 */
export function overshootWhileFilling(
  state: FillState,
  setup: FillSetup,
  channel: ChannelWatchSetup,
  pressurePa: number,
): Overshoot | undefined {
  const { rate } = state;
  if (!rate) return undefined;
  const peakValue = pressurePa + Math.max(0, rate.slope) * setup.reactionS;
  const peak = measured(peakValue, rate.standardUncertainty * setup.reactionS, channel.standardUncertaintySi);
  // What the gauge may be off by counts here, the strokes of a booster in its rate do not: they would warn of every fill.
  const gaugePa = measured(0, channel.standardUncertaintySi).expandedUncertainty;
  if (isOver(peakValue + gaugePa, setup.maximumPa, state.overshoot === 'maximum', setup.bandPa)) {
    return { over: 'maximum', expectedPa: peak, limitPa: setup.maximumPa };
  }
  const { contents, wallTimeS } = state;
  if (setup.targetPa === undefined || !contents) return undefined;
  const shut = middleOf(settledRange(contentsIn(contents, setup.reactionS, Math.max(0, rate.slope), setup.gamma), wallTimeS));
  const settled = measured(shut.value, shut.standardUncertainty, peak.standardUncertainty);
  const limitPa = setup.targetPa + setup.bandPa;
  return isOver(settled.value, limitPa, state.overshoot === 'target', setup.bandPa)
    ? { over: 'target', expectedPa: settled, limitPa }
    : undefined;
}

export function overshootWhileSettling(setup: FillSetup, settled: Measured, before: FillState['overshoot']): Overshoot | undefined {
  if (setup.targetPa === undefined) return undefined;
  const limitPa = setup.targetPa + setup.bandPa;
  return isOver(settled.value, limitPa, before === 'target', setup.bandPa) ? { over: 'target', expectedPa: settled, limitPa } : undefined;
}

const isOver = (expectedPa: number, limitPa: number, wasOver: boolean, bandPa: number): boolean =>
  expectedPa > limitPa - (wasOver ? BACK_OF_BAND * bandPa : 0);
