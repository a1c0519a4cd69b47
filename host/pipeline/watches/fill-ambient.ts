/**
 * A gauge's course with one ambient from beginning to end. The gas in a vessel knows nothing of the barometer; when the
 * first reading of the air replaces the rig file's assumed pressure, or a bad one comes, the absolute pressure steps by
 * some kilopascals that were never filled. What the assumed ambient is off by is far below what the forecasts can tell.
 */
import type { FillEvent, Measured } from '../../../protocol/index.ts';
import type { FillSetup, WatchSamples } from './setup.ts';

/** @param byPa  to be taken away from every absolute pressure */
export function heldSamples(samples: WatchSamples, byPa: number): WatchSamples {
  return { ...samples, valuesSi: samples.valuesSi.map((value) => value - byPa) };
}

export function heldSetup(setup: FillSetup, byPa: number): FillSetup {
  return {
    ...setup,
    ...(setup.targetPa === undefined ? {} : { targetPa: setup.targetPa - byPa }),
    maximumPa: setup.maximumPa - byPa,
    emptyBelowPa: setup.emptyBelowPa - byPa,
    ambientPa: setup.ambientPa - byPa,
  };
}

/** Back to the ambient that is; the words are gauge and stay. */
export function presentEvent(event: FillEvent, byPa: number): FillEvent {
  const { pressurePa, targetPa, settledIfShutPa, settling, overshoot } = event;
  const present = (measured: Measured): Measured => ({ ...measured, value: measured.value + byPa });
  return {
    ...event,
    pressurePa: present(pressurePa),
    ...(targetPa === undefined ? {} : { targetPa: targetPa + byPa }),
    ...(settledIfShutPa ? { settledIfShutPa: present(settledIfShutPa) } : {}),
    ...(settling ? { settling: { ...settling, settledPressurePa: present(settling.settledPressurePa) } } : {}),
    ...(overshoot ? { overshoot: { ...overshoot, expectedPa: present(overshoot.expectedPa), limitPa: overshoot.limitPa + byPa } } : {}),
  };
}
