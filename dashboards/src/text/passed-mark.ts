/** The marks of a gauge that a needle passes, for saying them aloud: a needle that trembles on a mark passes it once. */

export interface Marks {
  /** Number of the highest mark at or below a value. */
  readonly below: (value: number) => number;
  readonly valueOf: (mark: number) => number;
}

/** Every so many Pa. */
export const evenMarks = (step: number): Marks => ({
  // A mark that is reached but for the rounding is reached.
  below: (value) => Math.floor(value / step + 1e-9),
  valueOf: (mark) => mark * step,
});

const LEADS = [1, 2, 5] as const;

/** 1, 2, 5, 10, 20, 50 and so on, both ways: the lower a vacuum, the finer its steps. */
export const decadeMarks: Marks = {
  below: (value) => {
    if (!(value > 0)) return Number.NEGATIVE_INFINITY;
    const decade = Math.floor(Math.log10(value) + 1e-9);
    const lead = value / 10 ** decade;
    return 3 * decade + LEADS.findLastIndex((each) => lead >= each * (1 - 1e-9));
  },
  valueOf: (mark) => {
    const place = ((mark % 3) + 3) % 3;
    return (LEADS[place] ?? 1) * 10 ** ((mark - place) / 3);
  },
};

/**
 * The mark that was passed since the last one.
 * @param last  undefined at the start: the mark below is taken without being told
 * @returns the newest mark passed, on the way up or down; `isNew` false where none was
 */
export function passedMark(marks: Marks, last: number | undefined, value: number): { readonly mark: number; readonly isNew: boolean } {
  const below = marks.below(value);
  if (last === undefined || !Number.isFinite(last) || !Number.isFinite(below)) return { mark: below, isNew: false };
  if (below > last) return { mark: below, isNew: true };
  // On the way down the mark above is the one that was passed, and the one that was told last is passed no second time.
  const above = marks.valueOf(below) === value ? below : below + 1;
  return above < last ? { mark: above, isNew: true } : { mark: last, isNew: false };
}
