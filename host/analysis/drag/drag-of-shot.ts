/**
 * The drag that a shot's own gates tell of, without what its reduction took from a published curve beforehand.
 *
 * The reduction fits how far the ball departs from the curve, with the departure's scale known beforehand to about the
 * spread of published curves. Its estimate of the scale is (1 − s) times what the gates alone say plus s times what was
 * known, s being the sensitivity to that prior knowledge, which stands in the budget: so the gates alone are found by
 * taking it out again. In a mean over many shots the prior knowledge would else count once a shot.
 */
import type { DragShot, TracedResult } from '../../../protocol/index.ts';
import { referenceSphereDrag } from '../../physics/index.ts';
import { sharedAs } from './shared-inputs.ts';

/** What a unit of an input's standard uncertainty does. */
export interface Share {
  /** On the logarithm of the drag coefficient. */
  readonly ofLogDrag: number;
  /** On the Mach number. */
  readonly ofMach: number;
}

export interface ShotDrag {
  readonly shotId: string;
  readonly sessionId: string;
  readonly diameterM: number;
  readonly mach: number;
  readonly reynolds: number;
  readonly logDrag: number;
  /** By the name under which other shots have the same input. */
  readonly shared: ReadonlyMap<string, Share>;
  /** Each independent of everything else. */
  readonly own: readonly Share[];
}

const SCALE = 'drag curve, scale';
/** Of the answer: with more the gates hardly say anything of the drag, and taking it out only divides by nearly 0. */
const PRIOR_SHARE_MAX = 0.8;
/** Slope and bend within one flight: one error for all flights at about the same Mach number. */
const LOCAL = /^drag curve, (slope|shape)/;
const LOCAL_MACH = 0.1;

/** @returns why the shot tells of no drag, as a plain clause, where it does not */
export function dragOfShot(shot: DragShot): ShotDrag | string {
  const { dragCoefficient, dragMach, dragReynolds } = shot;
  if (!dragCoefficient || !dragMach || !dragReynolds) return 'no drag coefficient: its gates gave no flight';
  const [mach, reynolds] = [dragMach.value, dragReynolds.value];
  if (!(mach > 0 && reynolds > 45 && dragCoefficient.value > 0)) return 'its drag coefficient is none that a ball can have';
  const referenceDrag = referenceSphereDrag({ mach, reynolds }).dragCoefficient;
  const prior = dragCoefficient.budget.find(({ input }) => input === SCALE);
  const share = (prior?.sensitivity ?? 0) / referenceDrag;
  if (share > PRIOR_SHARE_MAX) return 'its gates say next to nothing of the drag: pairs further apart would';
  const drag = referenceDrag + (dragCoefficient.value - referenceDrag) / (1 - share);
  if (!(drag > 0)) return 'without the published curve its gates ask for a drag below 0';
  const diameter = dragCoefficient.budget.find(({ input }) => input === 'projectile diameter');
  return {
    shotId: shot.id,
    sessionId: shot.sessionId,
    diameterM: diameter?.value ?? Number.NaN,
    mach,
    reynolds,
    logDrag: Math.log(drag),
    ...sharesOf(shot, dragCoefficient, dragMach, 1 / (drag * (1 - share))),
  };
}

function sharesOf(shot: DragShot, drag: TracedResult, mach: TracedResult, logPerDrag: number): Pick<ShotDrag, 'shared' | 'own'> {
  const inputs = new Map<string, { readonly line: TracedResult['budget'][number]; ofLogDrag: number; ofMach: number }>();
  const add = (line: TracedResult['budget'][number], ofLogDrag: number, ofMach: number): void => {
    const known = inputs.get(line.input) ?? { line, ofLogDrag: 0, ofMach: 0 };
    inputs.set(line.input, { line, ofLogDrag: known.ofLogDrag + ofLogDrag, ofMach: known.ofMach + ofMach });
  };
  for (const line of drag.budget) if (line.input !== SCALE) add(line, line.sensitivity * line.standardUncertainty * logPerDrag, 0);
  for (const line of mach.budget) add(line, 0, line.sensitivity * line.standardUncertainty);
  const shared = new Map<string, Share>();
  const own: Share[] = [];
  for (const { line, ofLogDrag, ofMach } of inputs.values()) {
    const key = LOCAL.test(line.input) ? `${line.input} | ${Math.round(mach.value / LOCAL_MACH)}` : sharedAs(line, shot);
    if (key === undefined) own.push({ ofLogDrag, ofMach });
    else shared.set(key, { ofLogDrag, ofMach });
  }
  return { shared, own };
}
