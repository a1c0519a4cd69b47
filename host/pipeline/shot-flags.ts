/** What the reader of a shot must know before trusting it; docs/shot.md gives each flag's meaning. */
import type { ShotEdge, ShotFlag } from '../../protocol/index.ts';
import { standardUncertainty } from '../metrology/index.ts';
import { constantPressureBoundMps, drivingGas, fastestPossibleMps, isothermalBoundMps } from '../physics/index.ts';
import type { Rig } from '../rig/index.ts';
import type { AirEstimates } from './air.ts';
import { chordsDiffer, chordsSeen } from './chords.ts';
import { BARREL_ROLES, PRESSURE_STALE_S } from './latch.ts';
import type { LatchedState } from './latched-state.ts';
import type { GateFit, PairReduction, Reduction } from './reduction.ts';
import { chordM, offAxisM, type ScreenedPassage, type Screening } from './screening.ts';
import type { BoardEdge, PipelineState, ShotRecord } from './state.ts';
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
    [passages.some((passage) => passage.softwareTimed), 'software-timed'],
    [screening.rejectedGates.length > 0, 'gate-rejected'],
    [screening.doubtful, 'gate-doubtful'],
    [passages.some((passage, i) => isFarOff(passage, i, screening.fit, rig)), 'far-off-axis'],
    [screening.fit !== undefined && differ(screening, screening.fit, rig), 'chords-differ'],
    [reduction !== undefined && !reduction.drag.resolved, 'drag-not-resolved'],
    [reduction !== undefined && isImpossible(reduction, latched, rig), 'faster-than-possible'],
    [[airTemperatureK, airPressurePa, airHumidity].some((value) => value.origin === 'assumed'), 'air-assumed'],
    [latched.airIsStale, 'air-stale'],
    [latched.airIsInSun, 'air-in-sun'],
    [!of.air.insideRange, 'air-outside-formula-range'],
    [reservoirPressurePa === undefined, 'reservoir-missing'],
    [(reservoirPressurePa?.ageS ?? 0) > PRESSURE_STALE_S, 'reservoir-stale'],
    [BARREL_ROLES.some(has) && barrelPressurePa === undefined, 'barrel-missing'],
    [(barrelPressurePa?.ageS ?? 0) > PRESSURE_STALE_S, 'barrel-stale'],
    [of.calibrationOverdue.length > 0, 'calibration-overdue'],
    [(board?.clock?.exchangesUsed ?? 0) < EXCHANGES_MIN, 'clock-not-fitted'],
    [edgesLost(state) > edgesLostBefore, 'edges-lost-on-board'],
    [record.edges.some((edge) => edge.arrivedAtNs - of.firedAtNs > LATE_NS), 'fetched-late'],
    [record.edges.some((edge) => isFromBefore(state, edge)), 'before-session'],
    [record.isCutShort, 'cut-short'],
  ];
  return candidates.flatMap(([applies, flag]) => (applies ? [flag] : []));
}

/** It was on the board when this session first heard it. */
function isFromBefore(state: PipelineState, edge: BoardEdge): boolean {
  const sequence = boardOf(state, edge.board)?.sequence;
  return sequence !== undefined && sequence.bootId === edge.bootId && edge.seq < sequence.sessionFromSeq;
}

/** More than half a radius from the beam: aimed badly, or something smaller than the projectile. */
function isFarOff(passage: ScreenedPassage, index: number, fit: GateFit | undefined, rig: Rig): boolean {
  const velocityMps = fit?.velocitiesMps[index];
  const chord = velocityMps === undefined ? undefined : chordM(passage, velocityMps);
  const diameterM = rig.projectile.diameterM.value;
  return chord !== undefined && offAxisM(chord, diameterM) > FAR_OFF_SHARE * (diameterM / 2);
}

const differ = ({ passages }: Screening, { velocitiesMps, meanVelocityMps }: GateFit, rig: Rig): boolean =>
  chordsDiffer(chordsSeen(passages, velocitiesMps, rig), meanVelocityMps.value, rig);

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
