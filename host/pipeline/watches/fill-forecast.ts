/** While it fills: when the target is reached, and whether it will be too much. */
import type { Measured, Overshoot } from '../../../protocol/index.ts';
import { rectangularStandardUncertainty } from '../../metrology/index.ts';
import { filledOverSettled } from '../../physics/index.ts';
import type { FillState } from './fill-state.ts';
import { measured } from './measured.ts';
import type { ChannelWatchSetup, FillSetup } from './setup.ts';

/** A warning is taken back only when what is expected has fallen this part of the band below the limit. */
const BACK_OF_BAND = 0.5;

/** At the present rate. @returns undefined where the pressure does not rise, or is there */
export function timeToTarget(pressure: Measured, rate: Measured | undefined, targetPa: number | undefined): Measured | undefined {
  if (!rate || targetPa === undefined || rate.value < 2 * rate.standardUncertainty) return undefined;
  const left = targetPa - pressure.value;
  if (left <= 0) return measured(0);
  return measured(
    left / rate.value,
    (left / rate.value) * (rate.standardUncertainty / rate.value),
    pressure.standardUncertainty / rate.value,
  );
}

/**
 * If the valve is shut now, it is shut a reaction later: the pressure has then risen further, and falls back as the gas
 * cools. By how much was learned at the last settling; before one, anything from nothing to a fill without heat to the
 * wall.
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
  if (setup.targetPa === undefined) return undefined;
  const most = 1 - 1 / filledOverSettled(Math.max(state.startPa, 1), peakValue, setup.gamma);
  const share =
    state.lastShare === undefined
      ? { value: most / 2, standardUncertainty: rectangularStandardUncertainty(most / 2) }
      : { value: state.lastShare, standardUncertainty: state.lastShare / 4 };
  const settled = measured(peakValue * (1 - share.value), peakValue * share.standardUncertainty, peak.standardUncertainty);
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
