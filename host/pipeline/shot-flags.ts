/** What the reader of a shot must know before trusting it; docs/shot.md gives each flag's meaning. */
import type { ShotEdge, ShotFlag } from '../../protocol/index.ts';
import { standardUncertainty } from '../metrology/index.ts';
import { constantPressureBoundMps, drivingGas, fastestPossibleMps, gravityDropM, isothermalBoundMps } from '../physics/index.ts';
import type { Rig } from '../rig/index.ts';
import type { AirEstimates } from './air.ts';
import { BARREL_ROLES, PRESSURE_STALE_S } from './latch.ts';
import type { LatchedState } from './latched-state.ts';
import type { GateFit, PairReduction, Reduction } from './reduction.ts';
import { BEAM_EDGES_M, chordM, offAxisM, type ScreenedPassage, type Screening } from './screening.ts';
import type { PipelineState, ShotRecord } from './state.ts';
import { boardOf, edgesLost } from './time.ts';

/** Edges that reach the host so late after the firing were fetched from the board's memory. */
const LATE_NS = 2e9;
/** Fewer exchanges than this give an offset but no rate of their own. */
const EXCHANGES_MIN = 2;
/** In radii. */
const FAR_OFF_SHARE = 0.5;
/** A reservoir filled in a hurry is warmer than the air, by less than a tenth of its absolute temperature. */
const WARM_GAS = 1.1;

export function flagsOf(of: {
  readonly state: PipelineState;
  readonly rig: Rig;
  readonly record: ShotRecord;
  readonly firedAtNs: number;
  readonly latched: LatchedState;
  readonly air: AirEstimates;
  readonly screening: Screening;
  readonly reduction: Reduction | undefined;
  readonly pairs: readonly PairReduction[];
  readonly shotEdges: readonly ShotEdge[];
  readonly calibrationOverdue: readonly string[];
}): readonly ShotFlag[] {
  const { state, rig, record, latched, screening, reduction, pairs } = of;
  const { passages } = screening;
  const { firing, edgesLostBefore } = record;
  const board = boardOf(state, firing.board);
  const { airTemperatureK, airPressurePa, airHumidity, reservoirPressurePa, barrelPressurePa } = latched;
  const has = (role: string) => rig.channels.some((channel) => channel.name === role);
  const candidates: readonly (readonly [boolean, ShotFlag])[] = [
    [rig.trigger !== undefined && firing.by !== 'trigger', 'no-trigger'],
    [reduction === undefined, 'no-velocity'],
    [reduction !== undefined && passages.length + screening.rejectedGates.length < rig.gates.length, 'gate-missed'],
    [reduction !== undefined && pairs.length < 2, 'single-pair'],
    [of.shotEdges.some((edge) => edge.verdict === 'rejected'), 'edges-rejected'],
    [passages.some((passage) => passage.occlusionS === undefined), 'one-edge-only'],
    [screening.rejectedGates.length > 0, 'gate-rejected'],
    [screening.doubtful, 'gate-doubtful'],
    [passages.some((passage, i) => isFarOff(passage, i, screening.fit, rig)), 'far-off-axis'],
    [screening.fit !== undefined && chordsDiffer(screening, screening.fit, rig), 'chords-differ'],
    [reduction !== undefined && !reduction.drag.resolved, 'drag-not-resolved'],
    [reduction !== undefined && isImpossible(reduction, latched, rig), 'faster-than-possible'],
    [[airTemperatureK, airPressurePa, airHumidity].some((value) => value.origin === 'assumed'), 'air-assumed'],
    [latched.airIsStale, 'air-stale'],
    [!of.air.insideRange, 'air-outside-formula-range'],
    [reservoirPressurePa === undefined, 'reservoir-missing'],
    [(reservoirPressurePa?.ageS ?? 0) > PRESSURE_STALE_S, 'reservoir-stale'],
    [BARREL_ROLES.some(has) && barrelPressurePa === undefined, 'barrel-missing'],
    [(barrelPressurePa?.ageS ?? 0) > PRESSURE_STALE_S, 'barrel-stale'],
    [of.calibrationOverdue.length > 0, 'calibration-overdue'],
    [(board?.clock?.exchangesUsed ?? 0) < EXCHANGES_MIN, 'clock-not-fitted'],
    [edgesLost(state) > edgesLostBefore, 'edges-lost-on-board'],
    [record.edges.some((edge) => edge.arrivedAtNs - of.firedAtNs > LATE_NS), 'fetched-late'],
  ];
  return candidates.flatMap(([applies, flag]) => (applies ? [flag] : []));
}

/** More than half a radius from the beam: aimed badly, or something smaller than the projectile. */
function isFarOff(passage: ScreenedPassage, index: number, fit: GateFit | undefined, rig: Rig): boolean {
  const velocityMps = fit?.velocitiesMps[index];
  const chord = velocityMps === undefined ? undefined : chordM(passage, velocityMps);
  const diameterM = rig.projectile.diameterM.value;
  return chord !== undefined && offAxisM(chord, diameterM) > FAR_OFF_SHARE * (diameterM / 2);
}

/** How far the path may wander between the gates, besides falling. */
const DRIFT_M = 5e-3;

/**
 * A ball shows every gate nearly the same chord: between the first and the last its path moves across the beams by its
 * fall and some millimetres. A chord beyond what that explains, by three standard uncertainties, is a yawing, a broken
 * or a wrong projectile, or a fragment's.
 */
function chordsDiffer({ passages }: Screening, { velocitiesMps }: GateFit, rig: Rig): boolean {
  const seen = passages.flatMap((passage, i) => {
    const velocityMps = velocitiesMps[i] as number;
    const chord = chordM(passage, velocityMps);
    return chord === undefined
      ? []
      : [{ chord, u: Math.hypot(Math.SQRT2 * BEAM_EDGES_M, Math.SQRT2 * passage.gate.jitterS * velocityMps) }];
  });
  const middle = [...seen].sort((a, b) => a.chord - b.chord)[seen.length >> 1];
  const [first, last] = [passages[0], passages.at(-1)];
  if (!middle || !first || !last) return false;
  const diameterM = rig.projectile.diameterM.value;
  const wanderM = DRIFT_M + gravityDropM(last.timeS - first.timeS, 1);
  const offM = offAxisM(middle.chord, diameterM);
  const chordAt = (off: number): number => Math.sqrt(Math.max(0, diameterM ** 2 - 4 * off ** 2));
  const [least, most] = [chordAt(offM + wanderM), chordAt(Math.max(0, offM - wanderM))];
  return seen.some(({ chord, u }) => chord < least - 3 * u || chord > most + 3 * u);
}

/** Faster than the gas could drive it, by more than three standard uncertainties of either. */
function isImpossible(reduction: Reduction, { reservoirPressurePa, airTemperatureK }: LatchedState, rig: Rig): boolean {
  if (!reservoirPressurePa) return false;
  const gas = drivingGas(rig.reservoir.gas);
  const launch = {
    reservoirPressurePa: reservoirPressurePa.value + 3 * reservoirPressurePa.standardUncertainty,
    reservoirVolumeM3: rig.reservoir.volumeM3,
    boreM: rig.barrel.boreM,
    barrelLengthM: rig.barrel.lengthM,
    massKg: rig.projectile.massKg.value,
    gasTemperatureK: WARM_GAS * airTemperatureK.value,
  };
  const bound = gas ? fastestPossibleMps({ ...launch, gas }) : Math.min(constantPressureBoundMps(launch), isothermalBoundMps(launch));
  const { muzzleVelocityMps } = reduction;
  return muzzleVelocityMps.value - 3 * standardUncertainty(muzzleVelocityMps) > bound;
}
