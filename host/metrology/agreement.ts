/**
 * E_n: how far two results lie apart, in units of what their expanded uncertainties allow. At most 1 in size: they agree.
 * Of results that share an error source this asks too little: compare their difference as one estimate instead.
 * @param result  with its expanded uncertainty (about 95 %), same unit as the reference
 * @throws RangeError where neither uncertainty is above 0, or one is below
 * Source: ISO 13528:2015, 9.7; ISO/IEC 17043:2010, B.4 (formula read, clause numbers from memory)
 */
export function agreementScore(result: Stated, reference: Stated): number {
  const allowed = Math.hypot(result.expandedUncertainty, reference.expandedUncertainty);
  if (!(result.expandedUncertainty >= 0 && reference.expandedUncertainty >= 0 && allowed > 0)) {
    throw new RangeError(`expanded uncertainties ${result.expandedUncertainty} and ${reference.expandedUncertainty}`);
  }
  return (result.value - reference.value) / allowed;
}

export interface Stated {
  readonly value: number;
  /** Of about 95 % coverage, never the standard uncertainty. */
  readonly expandedUncertainty: number;
}
