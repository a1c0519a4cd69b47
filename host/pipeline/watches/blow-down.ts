/** The reservoir's blow-down at a firing: when the valve opened, how far the pressure fell, what energy the gas gave. */
import type { BlowDown, PressureTrace, Shot } from '../../../protocol/index.ts';
import { derive, type Estimate, input } from '../../metrology/index.ts';
import { energyDrawnJ } from '../../physics/index.ts';
import { toResult } from '../result.ts';
import { measured } from './measured.ts';
import { noiseOf, openingOf } from './valve-opening.ts';
import { differenceText } from './words.ts';

export interface BlowDownFacts {
  /** Of the reservoir, absolute, from before the valve opened; a burst tells the opening better than slow samples. */
  readonly trace: PressureTrace;
  /** Of a reading of the reservoir, k = 1. */
  readonly standardUncertaintyPa: number;
  readonly volumeM3: { readonly value: number; readonly standardUncertainty: number };
  /** Ratio of specific heats. A real gas at some MPa stands off its ideal value by some hundredths: say so here. */
  readonly gamma: { readonly value: number; readonly standardUncertainty: number };
  /** When the projectile left the barrel, s since the firing; undefined: to the end of the trace. */
  readonly exitAtS: number | undefined;
  readonly muzzleEnergyJ?: Estimate;
}

/** A big valve is open within some hundredths of a second of its signal (common practice): later is something else. */
const OPENED_BY_S = 0.2;
/** Mean around the end of the push: half as long either side, s. */
const AROUND_S = 0.5e-3;

/**
 * @returns undefined where the trace shows no valve opening, does not cover the firing and the exit, or shows one that
 *   cannot be this firing's: before it, or long after
 */
export function blowDownOf(facts: BlowDownFacts): BlowDown | undefined {
  const { trace, gamma } = facts;
  const opening = openingOf(trace, gamma.value);
  if (!opening) return undefined;
  const endS = trace.fromS + (trace.valuesPa.length - 1) * trace.periodS;
  const afterAtS = facts.exitAtS ?? endS;
  if (trace.fromS > 0 || afterAtS > endS + trace.periodS || afterAtS <= opening.atS) return undefined;
  const openedAtS = measured(opening.atS, opening.standardUncertaintyS);
  const { value, expandedUncertainty: doubt } = openedAtS;
  if (value + doubt < 0 || value > OPENED_BY_S || doubt > OPENED_BY_S) return undefined;
  const after = levelAt(trace, afterAtS);
  // What the gauge is off by as a whole cancels in the fall; its gain does not, and may be all of its uncertainty.
  const gain = input('reservoir gauge gain', '1', { value: 1, standardUncertainty: facts.standardUncertaintyPa / opening.beforePa.value });
  const before = input('pressure before, noise', 'Pa', opening.beforePa);
  const end = input('pressure after, noise', 'Pa', after);
  const fall = derive((p1, p2, g) => (p1 - p2) * g, before, end, gain);
  const volume = input('reservoir volume', 'm³', facts.volumeM3);
  const ratio = input('ratio of specific heats', '1', gamma);
  const energy = derive((dp, v, g) => energyDrawnJ(dp, v, g), fall, volume, ratio);
  const fallResult = toResult(fall, 'Pa');
  const efficiency = facts.muzzleEnergyJ && derive((e, drawn) => e / drawn, facts.muzzleEnergyJ, energy);
  const drawn = toResult(energy, 'J');
  return {
    openedAtS,
    pressureBeforePa: measured(opening.beforePa.value, opening.beforePa.standardUncertainty, facts.standardUncertaintyPa),
    pressureAfterPa: measured(after.value, after.standardUncertainty, facts.standardUncertaintyPa),
    afterAtS,
    pressureDropPa: measured(fallResult.value, fallResult.standardUncertainty),
    energyDrawnJ: drawn,
    ...(efficiency ? { efficiency: toResult(efficiency, '1') } : {}),
  };
}

/** One sentence for the crew. */
export function blowDownWords({ openedAtS, pressureDropPa, energyDrawnJ, efficiency }: BlowDown, firedBy: Shot['firedBy']): string {
  const share = efficiency ? `, of which the projectile has ${(100 * efficiency.value).toPrecision(2)} %` : '';
  const fall = `the reservoir fell by ${differenceText(pressureDropPa.value)} and its gas gave ${(energyDrawnJ.value / 1e3).toPrecision(3)} kJ`;
  // A firing that the collapse itself timed is no moment to count from.
  return firedBy === 'trigger'
    ? `The valve opened ${(openedAtS.value * 1e3).toFixed(2)} ms after the firing; ${fall}${share}.`
    : `The valve opened; ${fall}${share}.`;
}

/** A short straight line through the samples around a moment, read in its middle: the pressure falls meanwhile. */
function levelAt(trace: PressureTrace, atS: number) {
  const { fromS, periodS, valuesPa } = trace;
  const half = Math.max(1, Math.round(AROUND_S / periodS));
  const middle = Math.min(valuesPa.length - 1, Math.max(0, Math.round((atS - fromS) / periodS)));
  const from = Math.max(0, middle - half);
  const window = valuesPa.slice(from, middle + half + 1);
  const n = window.length;
  const centre = (n - 1) / 2;
  const mean = window.reduce((sum, p) => sum + p, 0) / n;
  const sxx = window.reduce((sum, _, i) => sum + (i - centre) ** 2, 0);
  const slope = sxx > 0 ? window.reduce((sum, p, i) => sum + (i - centre) * p, 0) / sxx : 0;
  const off = (atS - fromS) / periodS - from - centre;
  const noise = noiseOf(valuesPa);
  return { value: mean + slope * off, standardUncertainty: noise * Math.sqrt(1 / n + (sxx > 0 ? off ** 2 / sxx : 0)) };
}
