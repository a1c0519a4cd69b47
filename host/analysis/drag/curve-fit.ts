/**
 * A smooth curve through the shots of one kind of projectile. The logarithm of the drag is a Gaussian process over Mach;
 * each shot sees it with an error of its own and with the errors that it shares with others, which stay correlated: a
 * gate that stands 0.1 mm off moves every shot's drag the same way, however many there are.
 */
import { CholeskyDecomposition, Matrix } from 'ml-matrix';
import { BELIEFS, type Belief, covarianceUnder, type Place } from './beliefs.ts';

/** Of one shot, or of several at nearly the same Mach number, all relative or in the logarithm. */
export interface Seen extends Place {
  readonly logDrag: number;
  /** The published curve there. */
  readonly logReference: number;
  readonly ownVariance: number;
  /** By input; k = 1. */
  readonly shared: ReadonlyMap<string, number>;
}

export interface Told {
  readonly logDrag: number;
  readonly variance: number;
  /** Of the variance: what the shared inputs make of it. */
  readonly sharedVariance: number;
  readonly byInput: ReadonlyMap<string, number>;
}

export interface CurveFit {
  /** At any Mach number; whether the shots support it there is another question. */
  readonly at: (where: readonly (Place & { readonly logReference: number })[]) => readonly Told[];
  /** What a further shot there would tell, with its own error and the errors that it shares with these. */
  readonly foresee: (shot: Seen) => { readonly logDrag: number; readonly variance: number };
  /** Relative, k = 1. */
  readonly scatter: number;
  /** Share of belief in the published curve's shape. */
  readonly followsReference: number;
}

interface Judged {
  readonly belief: Belief;
  readonly logEvidence: number;
  readonly solved: CholeskyDecomposition;
  readonly pulls: readonly number[];
}

/** Share of belief below which a combination is left out. */
const SHARE_MIN = 1e-4;
/** Relative; keeps a matrix of shots at one Mach number regular. */
const ROUNDING = 1e-10;

/** @param seen  one or more */
export function fitCurve(seen: readonly Seen[]): CurveFit {
  const inputs = [...new Set(seen.flatMap(({ shared }) => [...shared.keys()]))];
  const effects = new Matrix(seen.map(({ shared }) => inputs.map((name) => shared.get(name) ?? 0)));
  const common = effects.mmul(effects.transpose());
  const judged = BELIEFS.flatMap((belief) => judge(belief, seen, common) ?? []);
  const best = Math.max(...judged.map(({ logEvidence }) => logEvidence));
  const sum = judged.reduce((total, { logEvidence }) => total + Math.exp(logEvidence - best), 0);
  const weighed = judged
    .map((each) => ({ ...each, share: Math.exp(each.logEvidence - best) / sum }))
    .filter(({ share }) => share > SHARE_MIN);
  const kept = weighed.reduce((total, { share }) => total + share, 0);
  const shares = weighed.map((each) => ({ ...each, share: each.share / kept }));
  return {
    at: (where) => tell(where, seen, inputs, effects, shares),
    foresee: (shot) => foresee(shot, seen, shares),
    scatter: Math.sqrt(shares.reduce((total, { share, belief }) => total + share * belief.scatter ** 2, 0)),
    followsReference: shares.reduce((total, { share, belief }) => total + (belief.shape === 'reference' ? share : 0), 0),
  };
}

function judge(belief: Belief, seen: readonly Seen[], common: Matrix): Judged | undefined {
  const covariance = covarianceUnder(belief);
  const all = common.clone();
  for (const [i, a] of seen.entries()) {
    // The same to the last bit on both sides of the diagonal.
    for (const [j, b] of seen.slice(0, i + 1).entries()) {
      const both = common.get(i, j) + covariance(a, b);
      all.set(i, j, both);
      all.set(j, i, both);
    }
    all.set(i, i, (all.get(i, i) + a.ownVariance + belief.scatter ** 2) * (1 + ROUNDING));
  }
  const solved = new CholeskyDecomposition(all);
  if (!solved.isPositiveDefinite()) return undefined;
  const departures = seen.map((each) => each.logDrag - baseline(belief, each));
  const pulls = solved.solve(Matrix.columnVector(departures)).to1DArray();
  const misfit = departures.reduce((total, departure, i) => total + departure * (pulls[i] as number), 0);
  const logDeterminant = 2 * solved.lowerTriangularMatrix.diagonal().reduce((total, each) => total + Math.log(each), 0);
  return { belief, logEvidence: -0.5 * (misfit + logDeterminant), solved, pulls };
}

const baseline = ({ shape }: Belief, { logReference }: { readonly logReference: number }): number =>
  shape === 'reference' ? logReference : 0;

function tell(
  where: readonly (Place & { readonly logReference: number })[],
  seen: readonly Seen[],
  inputs: readonly string[],
  effects: Matrix,
  shares: readonly (Judged & { readonly share: number })[],
): readonly Told[] {
  const answers = shares.map(({ belief, solved, pulls, share }) => {
    const covariance = covarianceUnder(belief);
    const across = new Matrix(seen.map((each) => where.map((place) => covariance(each, place))));
    const gains = solved.solve(across);
    const carried = effects.transpose().mmul(gains);
    return where.map((place, j) => {
      let [departure, known] = [0, 0];
      for (let i = 0; i < seen.length; i++) {
        departure += across.get(i, j) * (pulls[i] as number);
        known += across.get(i, j) * gains.get(i, j);
      }
      const bySquare = inputs.map((_, k) => carried.get(k, j) ** 2);
      return { share, logDrag: baseline(belief, place) + departure, variance: Math.max(0, covariance(place, place) - known), bySquare };
    });
  });
  return where.map((_, j) => {
    const each = answers.map((answer) => answer[j] as (typeof answer)[number]);
    const mean = (of: (one: (typeof each)[number]) => number): number => each.reduce((total, one) => total + one.share * of(one), 0);
    const logDrag = mean((one) => one.logDrag);
    // What the beliefs do not agree on is uncertain too.
    const variance = mean((one) => one.variance + (one.logDrag - logDrag) ** 2);
    const byInput = new Map(inputs.map((name, k) => [name, mean((one) => one.bySquare[k] as number)] as const));
    const sharedVariance = Math.min(
      variance,
      [...byInput.values()].reduce((total, square) => total + square, 0),
    );
    return { logDrag, variance, sharedVariance, byInput };
  });
}

function foresee(
  shot: Seen,
  seen: readonly Seen[],
  shares: readonly (Judged & { readonly share: number })[],
): { readonly logDrag: number; readonly variance: number } {
  const together = seen.map(({ shared }) => dot(shared, shot.shared));
  const each = shares.map(({ belief, solved, pulls, share }) => {
    const covariance = covarianceUnder(belief);
    const across = seen.map((other, i) => covariance(other, shot) + (together[i] as number));
    const gains = solved.solve(Matrix.columnVector(across)).to1DArray();
    const dotted = (values: readonly number[]): number => across.reduce((total, one, i) => total + one * (values[i] as number), 0);
    const alone = covariance(shot, shot) + dot(shot.shared, shot.shared) + shot.ownVariance + belief.scatter ** 2;
    return { share, logDrag: baseline(belief, shot) + dotted(pulls), variance: Math.max(shot.ownVariance, alone - dotted(gains)) };
  });
  const logDrag = each.reduce((total, one) => total + one.share * one.logDrag, 0);
  return { logDrag, variance: each.reduce((total, one) => total + one.share * (one.variance + (one.logDrag - logDrag) ** 2), 0) };
}

const dot = (a: ReadonlyMap<string, number>, b: ReadonlyMap<string, number>): number =>
  [...a].reduce((total, [name, value]) => total + value * (b.get(name) ?? 0), 0);
