/**
 * `npm run check:numbers`: are the numbers right, and is their uncertainty? Long runs over simulated shots whose every
 * error is drawn from what the demonstration rig claims; prints a table, ends with 1 where something is not reached.
 * `--small` runs a twentieth of it.
 */
import { HERON_RIG, HERON_TEXT } from '../support/heron.ts';
import { type Coverage, coverage, RESULTS } from '../support/numbers/coverage.ts';
import { efficiency } from '../support/numbers/efficiency.ts';
import { eightGateRig, reductionTime } from '../support/numbers/eight-gates.ts';
import { faultyShots } from '../support/numbers/faulty-shots.ts';
import { printTable, type Row } from './table.ts';

const FIRST_SEED = 1;
const scale = process.argv.includes('--small') ? 0.05 : 1;
const count = (shots: number): number => Math.round(shots * scale);
const percent = (share: number, digits = 2): string => `${(100 * share).toFixed(digits)} %`;

const residuals = ({ chiSquared, degreesOfFreedom, doubted }: Coverage): string =>
  `${(chiSquared / degreesOfFreedom).toFixed(3)}; gates doubted in ${percent(doubted)} of shots`;

function* checks(): Generator<Row> {
  const rig = HERON_RIG;
  const shots = count(20_000);
  const claimed = coverage(rig, { shots, firstSeed: FIRST_SEED });
  for (const [i, name] of RESULTS.entries()) {
    const share = claimed.covered[i] as number;
    const found = `${percent(share)} (rms error ${(claimed.rmsScores[i] as number).toFixed(3)} u)`;
    yield {
      what: `95 % interval of ${name} holds the truth, ${shots} shots`,
      wanted: '94 % to 96 %',
      found,
      reached: share >= 0.94 && share <= 0.96,
    };
  }
  yield {
    what: '… residuals, chi-squared a degree of freedom',
    wanted: 'as claimed',
    found: residuals(claimed),
    reached: claimed.residualsAsClaimed,
  };
  const doubledShots = count(4000);
  const eight = eightGateRig(HERON_TEXT);
  // The jitter of one edge is a small part of what four gates claim, and hides in it; eight gates check each other better.
  for (const [source, where, doubtful, inflate] of [
    ['gate positions', 'four gates', rig, { positions: 2 }],
    ['edge jitter', 'eight gates', eight, { jitter: 2 }],
  ] as const) {
    const doubled = coverage(doubtful, { shots: doubledShots, firstSeed: FIRST_SEED, inflate });
    const share = doubled.covered[0] as number;
    yield {
      what: `${source} twice as far off as claimed, ${where}, ${doubledShots} shots: muzzle velocity`,
      wanted: 'below 94 %',
      found: percent(share),
      reached: share < 0.94,
    };
    yield {
      what: '… residuals, chi-squared a degree of freedom',
      wanted: 'more than claimed',
      found: residuals(doubled),
      reached: !doubled.residualsAsClaimed,
    };
  }
  const efficiencyShots = count(20_000);
  for (const muzzleMps of [200, 300, 400, 560]) {
    const { varianceOverBound } = efficiency(rig, { muzzleMps, shots: efficiencyShots, seed: FIRST_SEED });
    yield {
      what: `variance of the muzzle velocity over the Cramér–Rao bound, ${muzzleMps} m/s, ${efficiencyShots} shots`,
      wanted: 'at most 1.05',
      found: varianceOverBound.toFixed(3),
      reached: varianceOverBound <= 1.05,
    };
  }
  const faulty = faultyShots(rig, { shots: count(10_000), firstSeed: FIRST_SEED });
  const right = 1 - faulty.wrong.length / faulty.shots;
  const seeds = faulty.wrong.map(({ seed, score, flagged }) => `seed ${seed}: ${score.toFixed(1)} u${flagged ? ', flagged' : ''}`);
  yield {
    what: `fragments, blast and double edges in each of ${faulty.shots} shots: reduced right (within 4 u)`,
    wanted: 'at least 99.9 %',
    found: `${percent(right, 3)}${seeds.length > 0 ? ` (${seeds.join('; ')})` : ''}`,
    reached: right >= 0.999,
  };
  const unflagged = faulty.wrong.filter(({ flagged }) => !flagged).length;
  yield { what: '… wrong and not flagged', wanted: '0', found: String(unflagged), reached: unflagged === 0 };
  const time = reductionTime(eight, { shots: count(2000), firstSeed: FIRST_SEED });
  yield {
    what: 'reduction of an 8-gate shot with all budgets, median (slowest tenth above)',
    wanted: 'under 2 ms',
    found: `${time.medianMs.toFixed(2)} ms (${time.slowestTenthMs.toFixed(2)} ms)`,
    reached: time.medianMs < 2,
  };
}

console.log(`Seeds from ${FIRST_SEED}. Node ${process.version}.\n`);
await printTable(checks());
