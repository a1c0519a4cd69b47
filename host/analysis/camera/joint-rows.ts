/**
 * Picture, gates and all that is known beforehand as the rows of one linear problem about the fit, each in its own
 * uncertainty: what is left of a row once everything has been given its due, and of a mistake what nothing else can imitate.
 */
import { Matrix } from 'ml-matrix';
import { scaledQr, standardUncertainty } from '../../metrology/index.ts';
import type { Offsets } from './nuisances.ts';
import { type PictureParameters, parametersOf } from './picture.ts';
import type { PictureFit } from './picture-fit.ts';

/** Something that the gates say of what was fitted. */
export interface GatesRow {
  readonly observed: number;
  /** k = 1, > 0. */
  readonly standardUncertainty: number;
  readonly predict: (p: PictureParameters, at: Offsets) => number;
}

export interface JointRows {
  /** Of the picture and the gates. */
  readonly count: number;
  /** Effect on these rows of each parameter, then of each nuisance. */
  readonly columns: readonly (readonly number[])[];
  /** What is left of all rows. */
  readonly residual: readonly number[];
  /** @param effect  on the rows of picture and gates @returns what of it neither parameters nor nuisances can imitate, on all rows */
  readonly inimitable: (effect: readonly number[]) => readonly number[];
}

const RANK_TOLERANCE = 1e-12;

/** @returns undefined where the problem has no numbers */
export function jointRows(found: PictureFit, gates: readonly GatesRow[]): JointRows | undefined {
  const { fit, known, nuisances, observedPx, uncertaintiesPx, parameters, picture } = found;
  const uncertainties = [...uncertaintiesPx, ...gates.map((row) => row.standardUncertainty)];
  const predict = (p: readonly number[], at: Offsets): readonly number[] => {
    const named = parametersOf(p);
    const values = [...picture.seenPx(named, at), ...gates.map((row) => row.predict(named, at))];
    return values.map((value, i) => value / (uncertainties[i] as number));
  };
  const base = predict(fit.values, known);
  const slope = (moved: readonly number[], step: number): readonly number[] =>
    moved.map((value, i) => (value - (base[i] as number)) / step);
  const columns = [
    ...parameters.map(({ step = 1e-6 }, j) => slope(predict(fit.values.with(j, (fit.values[j] as number) + step), known), step)),
    ...nuisances.map(({ moved, step }) => slope(predict(fit.values, moved(step)), step)),
  ];
  const priors = [
    ...parameters.map(({ prior }, j) => {
      const { value, standardUncertainty: u } = prior;
      return { u, off: Number.isFinite(u) ? (value - (fit.values[j] as number)) / u : 0 };
    }),
    ...nuisances.map(({ of }) => ({ u: standardUncertainty(of), off: 0 })),
  ];
  // What is exact, or touches nothing here, is no column.
  const free = columns.map((_, j) => j).filter((j) => priors[j]?.u !== 0);
  const told = free.filter((j) => Number.isFinite(priors[j]?.u));
  const count = base.length;
  const design = Matrix.zeros(count + told.length, free.length);
  for (const [k, j] of free.entries()) {
    for (const [i, value] of (columns[j] as readonly number[]).entries()) design.set(i, k, value);
    if (told.includes(j)) design.set(count + told.indexOf(j), k, 1 / (priors[j]?.u as number));
  }
  const observed = [...observedPx, ...gates.map((row) => row.observed)].map((value, i) => value / (uncertainties[i] as number));
  const right = [...observed.map((value, i) => value - (base[i] as number)), ...told.map((j) => priors[j]?.off as number)];
  const qr = right.every(Number.isFinite) ? scaledQr(design, RANK_TOLERANCE) : undefined;
  if (!qr) return undefined;
  const rest = (column: readonly number[]): readonly number[] => {
    const explained = design.mmul(Matrix.columnVector([...qr.solve(column)])).to1DArray();
    return column.map((value, i) => value - (explained[i] as number));
  };
  const none = told.map(() => 0);
  return { count, columns, residual: rest(right), inimitable: (effect) => rest([...effect, ...none]) };
}
