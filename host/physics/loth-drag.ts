/**
 * Drag of a smooth sphere below the drag crisis.
 *
 * Source: Loth, Daspit, Jeong, Nagata, Nonomura, "Supersonic and hypersonic drag coefficients for a sphere",
 * AIAA Journal 59(8) (2021) 3261–3274, eqs (7a)–(8e), the branch for Re > 45; given up to Re 3e5.
 *
 * As published the curve steps by 3 % at Mach 0.8 and a little at 1.0 and 1.5, where its branches change.
 * `lothSphereDrag` is that curve; `smoothLothDrag` blends the branches over ±0.05 Mach so that a fit can go across.
 */
import type { ValueAndSlope } from './pchip.ts';
import { blend, smoothStep } from './smooth-step.ts';

type Branch = (mach: number) => ValueAndSlope;

const tanhBranch =
  (offset: number, scale: number, rate: number, shift: number): Branch =>
  (mach) => {
    const h = Math.tanh(rate * mach - shift);
    return { value: offset + scale * h, slope: scale * rate * (1 - h * h) };
  };

const cBelow = tanhBranch(1.65, 0.65, 4, 3.4);
const cAbove = tanhBranch(2.18, -0.13, 0.9, 2.7);
const gBelow: Branch = (m) => ({ value: 166 * m ** 3 + 3.29 * m ** 2 - 10.9 * m + 20, slope: 498 * m ** 2 + 6.58 * m - 10.9 });
const gAbove: Branch = (m) => ({ value: 5 + 40 * m ** -3, slope: -120 * m ** -4 });
const hBelow: Branch = (m) => ({ value: 0.0239 * m ** 3 + 0.212 * m ** 2 - 0.074 * m + 1, slope: 0.0717 * m ** 2 + 0.424 * m - 0.074 });
const hAbove: Branch = (m) => ({ value: 0.93 + 1 / (3.5 + m ** 5), slope: (-5 * m ** 4) / (3.5 + m ** 5) ** 2 });

function joined(mach: number, joint: number, halfWidth: number, below: Branch, above: Branch): ValueAndSlope {
  if (mach < joint - halfWidth) return below(mach);
  if (mach >= joint + halfWidth) return above(mach);
  return blend(smoothStep(mach, joint - halfWidth, joint + halfWidth), below(mach), above(mach));
}

function drag(mach: number, reynolds: number, halfWidth: number): ValueAndSlope {
  if (!(mach >= 0 && Number.isFinite(mach))) throw new RangeError(`Mach ${mach}: must be 0 or more`);
  if (!(reynolds > 45 && Number.isFinite(reynolds))) throw new RangeError(`Reynolds number ${reynolds}: must be above 45`);
  const c = joined(mach, 1.5, halfWidth, cBelow, cAbove);
  const g = joined(mach, 0.8, halfWidth, gBelow, gAbove);
  const h = joined(mach, 1, halfWidth, hBelow, hAbove);
  const viscous = (24 / reynolds) * (1 + 0.15 * reynolds ** 0.687);
  const power = 42500 * reynolds ** (-1.16 * c.value);
  const root = Math.sqrt(reynolds);
  const divisor = 1 + power + g.value / root;
  const divisorSlope = -1.16 * Math.log(reynolds) * power * c.slope + g.slope / root;
  return {
    value: viscous * h.value + (0.42 * c.value) / divisor,
    slope: viscous * h.slope + (0.42 * (c.slope * divisor - c.value * divisorSlope)) / (divisor * divisor),
  };
}

/**
 * Drag coefficient on frontal area, exactly as published, steps and all; slope per Mach at constant Reynolds number.
 * @param at.mach  0 or more
 * @param at.reynolds  on the diameter, > 45; published up to 3e5
 * @throws RangeError outside these
 */
export function lothSphereDrag(at: { readonly mach: number; readonly reynolds: number }): ValueAndSlope {
  return drag(at.mach, at.reynolds, 0);
}

/** The same with its steps at Mach 0.8, 1.0 and 1.5 smoothed; equal to it elsewhere. */
export function smoothLothDrag(at: { readonly mach: number; readonly reynolds: number }): ValueAndSlope {
  return drag(at.mach, at.reynolds, 0.05);
}
