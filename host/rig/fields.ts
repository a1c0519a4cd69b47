/**
 * Quantity text to SI, problems noted.
 *
 * A value that cannot be read becomes NaN. Every comparison with NaN is false, so no later check stumbles over a value
 * whose problem is already told: one mistake, one problem. The rig is handed out only where there is none at all.
 */
import {
  type Dimension,
  type PressureReference,
  parseQuantity,
  parseUncertainty,
  parseUnit,
  type QuantityOptions,
  type Unit,
} from '../units/index.ts';
import type { Path } from './source.ts';
import type { UncertainSi } from './uncertain-si.ts';

export type Report = (path: Path, message: string, at?: 'key' | 'value') => void;

/** Which values make sense. */
export type Limit = 'positive' | 'not negative' | 'any';

export interface FieldReader {
  /** With ±, which must stand there. */
  readonly uncertain: (path: Path, text: string, dimension: Dimension, limit: Limit) => UncertainSi;
  /** Without ±. */
  readonly plain: (path: Path, text: string, dimension: Dimension, limit: Limit) => number;
  /** A value without ± on the scale of its dimension: a pressure with its reference, a temperature above absolute zero. */
  readonly level: (path: Path, text: string, dimension: Dimension) => Level;
  /** Without ±, greater than zero; of a pressure a difference, so without a reference. */
  readonly amount: (path: Path, text: string, dimension: Dimension) => number;
  /** A pressure that must be of that reference; ± as the options say. */
  readonly pressureOf: (path: Path, text: string, reference: PressureReference, uncertainty: 'required' | 'forbidden') => UncertainSi;
  /** An uncertainty alone, k = 1. */
  readonly spread: (path: Path, text: string, dimension: Dimension, spanSi: number | undefined) => number;
  /** A unit alone. */
  readonly unit: (path: Path, text: string, dimension: Dimension) => UnitRead | undefined;
}

export interface Level {
  readonly si: number;
  /** undefined for what is no pressure, and where the text could not be read. */
  readonly reference: PressureReference | undefined;
}

export interface UnitRead {
  readonly unit: Unit;
  readonly reference: PressureReference | undefined;
}

interface Read {
  readonly si: UncertainSi;
  readonly reference: PressureReference | undefined;
}

const UNREADABLE: Read = { si: { value: Number.NaN, standardUncertainty: Number.NaN }, reference: undefined };

export function fieldReader(report: Report): FieldReader {
  function read(path: Path, text: string, dimension: Dimension, limit: Limit, options: QuantityOptions): Read {
    const quantity = parseQuantity(text, dimension, options);
    if (!quantity.ok) {
      report(path, `"${text}": ${quantity.problem.message}`);
      return UNREADABLE;
    }
    const outside = outsideLimit(quantity.valueSi, limit);
    if (outside !== undefined) {
      report(path, `"${text}" ${outside}`);
      return UNREADABLE;
    }
    return { si: { value: quantity.valueSi, standardUncertainty: quantity.standardUncertaintySi }, reference: quantity.reference };
  }

  return {
    uncertain: (path, text, dimension, limit) => read(path, text, dimension, limit, { uncertainty: 'required' }).si,
    plain: (path, text, dimension, limit) => read(path, text, dimension, limit, { uncertainty: 'forbidden' }).si.value,
    level: (path, text, dimension) => {
      const limit = dimension === 'temperature' ? 'positive' : 'any';
      const { si, reference } = read(path, text, dimension, limit, { uncertainty: 'forbidden' });
      if (reference === 'absolute' && si.value < 0) {
        report(path, `"${text}" is below vacuum; an absolute pressure cannot be negative, so correct it or write gauge`);
        return { si: Number.NaN, reference };
      }
      return { si: si.value, reference };
    },
    amount: (path, text, dimension) =>
      read(path, text, dimension, 'positive', { uncertainty: 'forbidden', reference: 'forbidden' }).si.value,
    pressureOf: (path, text, wanted, uncertainty) => {
      const { si, reference } = read(path, text, 'pressure', 'positive', { uncertainty });
      if (reference === undefined || reference === wanted) return si;
      report(path, `"${text}" is ${reference}; this pressure is stated as ${wanted}, so convert it`);
      return UNREADABLE.si;
    },
    spread: (path, text, dimension, spanSi) => {
      const uncertainty = parseUncertainty(text, dimension, spanSi === undefined ? {} : { spanSi });
      if (uncertainty.ok) return uncertainty.standardUncertaintySi;
      report(path, `"${text}": ${uncertainty.problem.message}`);
      return Number.NaN;
    },
    unit: (path, text, dimension) => {
      const read = parseUnit(text, dimension);
      if (read.ok) return { unit: read.unit, reference: read.reference };
      report(path, `"${text}": ${read.problem.message}`);
      return undefined;
    },
  };
}

function outsideLimit(value: number, limit: Limit): string | undefined {
  if (limit === 'positive' && value <= 0) return 'must be greater than zero';
  if (limit === 'not negative' && value < 0) return 'must not be negative';
  return undefined;
}
