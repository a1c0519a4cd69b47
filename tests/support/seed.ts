/**
 * What everything that is drawn in a run of the tests is drawn from. It is the same in each run, so that a run says
 * something of the code and not of the draw; `POSTERN_SEED=77 npm test` looks elsewhere, `POSTERN_SEED=drawn` anywhere.
 * A run prints it.
 */
export const SEED = Number(process.env.POSTERN_SEED ?? 1);
if (!Number.isInteger(SEED)) throw new RangeError(`POSTERN_SEED is ${process.env.POSTERN_SEED}; give a whole number or "drawn"`);
