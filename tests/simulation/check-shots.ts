/** No shot invented, none lost, each velocity right or flagged, and a shot of two sessions whole in one of them or flagged in both. */
import type { ShotTruth } from '../../firmware-sim/world/shot.ts';
import type { Shot, ShotFlag } from '../../protocol/index.ts';
import type { EdgeLedger } from './edge-ledger.ts';

/**
 * Standard uncertainties. Of a normal error one in 1.7 million is beyond; with 4, a run of 10 000 seeds would meet one
 * by chance every other time.
 */
const SCORE_MAX = 5;
/** They tell of other things than the flight past the gates: with none but these a velocity has to be right all the same. */
const NO_EXCUSE: ReadonlySet<ShotFlag> = new Set([
  'air-assumed',
  'air-stale',
  'air-in-sun',
  'reservoir-missing',
  'reservoir-stale',
  'barrel-missing',
  'barrel-stale',
  'calibration-overdue',
  'clock-not-fitted',
  'fetched-late',
  'cut-short',
  'before-session',
]);
/** From the firing signal to the last edge that it causes, and the edges of noise before it. */
const FIRING_S = [-0.1, 0.5] as const;
/** Of a firing in range time, where nothing is flagged: line and clock fit are good to about a millisecond. */
const FIRED_AT_ERROR_S_MAX = 0.005;
/**
 * A shot without an edge is known by its blow-down alone. At the simulation's pace the crew vent the vessel within half a
 * second, as fast as a firing would; where that is all that is seen of a firing, it stands for it.
 */
const BLOW_DOWN_S = [-0.1, 0.8] as const;

export interface FoundShot {
  readonly shot: Shot;
  /** By the host, in range time. */
  readonly firedAtS: number;
}

export interface ShotsChecked {
  readonly wrong: readonly string[];
  readonly shots: number;
  readonly unflagged: number;
  readonly firings: number;
  /** Of those, the ones of which the board lost nothing and yet no session has all edges: a kill has split them. Each part is flagged. */
  readonly split: number;
  /** Errors of muzzle velocities that nothing excuses, over their own uncertainty. */
  readonly scores: readonly number[];
}

export function checkShots(found: readonly FoundShot[], truth: readonly ShotTruth[], ledger: EdgeLedger): ShotsChecked {
  const wrong: string[] = [];
  const scores: number[] = [];
  let unflagged = 0;
  const firings = new Map<FoundShot, ShotTruth>();
  for (const one of found) {
    const { shot, firedAtS } = one;
    const fired = firingOf(one, truth, ledger);
    const what = `shot ${shot.id} at ${firedAtS.toFixed(3)} s (${shot.flags.join(', ') || 'no flag'})`;
    if (fired === undefined) {
      wrong.push(`${what} was never fired`);
      continue;
    }
    firings.set(one, fired);
    if (!shot.flags.every((flag) => NO_EXCUSE.has(flag))) continue;
    const score = scoreOf(shot, fired);
    scores.push(score);
    if (!(Math.abs(score) <= SCORE_MAX)) wrong.push(`${what}: its muzzle velocity is ${score.toFixed(1)} standard uncertainties off`);
    if (shot.flags.length > 0) continue;
    unflagged += 1;
    const lateS = firedAtS - fired.firedAtS;
    if (Math.abs(lateS) > FIRED_AT_ERROR_S_MAX) wrong.push(`${what} is told ${lateS.toFixed(3)} s after its firing`);
  }
  let split = 0;
  for (const fired of truth) {
    const own = found.filter((one) => firings.get(one) === fired);
    const where = `the firing at ${fired.firedAtS.toFixed(3)} s`;
    const isItsTime = (timeS: number): boolean => isWithin(FIRING_S, timeS - fired.firedAtS);
    const seen = [...ledger.timesOfTicks.values()].filter(isItsTime).length;
    const isLost = ledger.lostAtS.some(isItsTime);
    if (own.length === 0 && !isLost) wrong.push(`${where} is in no journal`);
    if (own.length > 1 && !isLost && own.every(({ shot }) => shot.edges.length < seen)) split += 1;
    const whole = own.filter(({ shot }) => shot.flags.length === 0);
    if (whole.length > 1) wrong.push(`${where} is ${whole.length} shots, none of them flagged`);
  }
  return { wrong, shots: found.length, unflagged, firings: truth.length, split, scores };
}

/** By what the board truly saw when it counted the ticks that the shot is made of. */
function firingOf({ shot, firedAtS }: FoundShot, truth: readonly ShotTruth[], ledger: EdgeLedger): ShotTruth | undefined {
  const timesS = shot.edges.flatMap(({ ticks }) => ledger.timesOfTicks.get(ticks) ?? []);
  if (timesS.length < shot.edges.length) return undefined;
  if (timesS.length > 0) return truth.find((fired) => timesS.every((timeS) => isWithin(FIRING_S, timeS - fired.firedAtS)));
  if (shot.muzzleVelocityMps !== undefined || !shot.flags.includes('no-velocity')) return undefined;
  return truth.find((fired) => isWithin(BLOW_DOWN_S, firedAtS - fired.firedAtS));
}

const isWithin = ([from, to]: readonly [number, number], timeS: number): boolean => timeS >= from && timeS <= to;

function scoreOf(shot: Shot, truth: ShotTruth): number {
  const { muzzleVelocityMps: muzzle } = shot;
  return muzzle ? (muzzle.value - truth.muzzleVelocityMps) / muzzle.standardUncertainty : Number.NaN;
}
