/** Everything that is said of a shot, from what has been gathered of it so far. */
import type { Mass, Shot, ShotAir } from '../../protocol/index.ts';
import { hostNs, hostNsStandardUncertainty } from '../metrology/index.ts';
import { gateBoard, gateBoards, type Rig } from '../rig/index.ts';
import { acceptanceOf } from './acceptance.ts';
import { type AirEstimates, estimateAir } from './air.ts';
import { calibrationOverdue } from './crew/overdue.ts';
import type { TimeBase } from './gate-timing.ts';
import { latch, PRESSURE_STALE_S } from './latch.ts';
import type { LatchedState } from './latched-state.ts';
import { packed, unpacked } from './packed-traces.ts';
import { passagesOf } from './passages.ts';
import { reduceEdges } from './reduce-edges.ts';
import type { Reduction } from './reduction.ts';
import { toResult } from './result.ts';
import { gateEdges, triggerEdges, verdictOn } from './shot-edges.ts';
import { flagsOf } from './shot-flags.ts';
import type { Firing, KeptSurroundings, PipelineState, ShotRecord } from './state.ts';
import { boardOf, firedNsOf, nsPerTick, secondsBetween, utcText } from './time.ts';
import { tracesAround } from './traces.ts';

/** What surrounds a shot and may be gone later: undefined where the reservoir's pressure is not at hand (yet). */
export function surroundingsOf(state: PipelineState, rig: Rig, record: ShotRecord): KeptSurroundings | undefined {
  const latched = latch(state, rig, firedNs(state, record));
  const { reservoirPressurePa } = latched;
  if (!reservoirPressurePa || reservoirPressurePa.ageS > PRESSURE_STALE_S) return undefined;
  return { latched, traces: packed(tracesAround(state, rig, record.firing, latched.airPressurePa.value)) };
}

/** What was kept around a moment that the shot was timed from before: taken anew or, where the samples are gone, set right. */
export function keptFrom(state: PipelineState, rig: Rig, record: ShotRecord, before: Firing): KeptSurroundings | undefined {
  const anew = surroundingsOf(state, rig, record);
  const laterS = secondsBetween(state, rig, record.firing, before);
  if (anew || !record.kept || !Number.isFinite(laterS)) return anew;
  const traces = record.kept.traces.map((trace) => ({ ...trace, fromS: trace.fromS + laterS }));
  return { ...record.kept, traces };
}

/** As `surroundingsOf`, whatever there is of them. */
export function surroundingsAnyway(state: PipelineState, rig: Rig, record: ShotRecord): KeptSurroundings {
  const latched = latch(state, rig, firedNs(state, record));
  return { latched, traces: packed(tracesAround(state, rig, record.firing, latched.airPressurePa.value)) };
}

const firedNs = (state: PipelineState, { firing, openedAtNs }: ShotRecord): number =>
  firedNsOf(boardOf(state, firing.board), firing.ticks, openedAtNs);

export function describeShot(state: PipelineState, given: Rig, record: ShotRecord): Shot {
  const rig = weighedRig(given, record);
  const { firing } = record;
  const firedAtNs = firedNs(state, record);
  const latched = record.kept?.latched ?? latch(state, rig, firedAtNs);
  const air = estimateAir(latched);
  const firedAt = utcText(record.utc, firedAtNs);
  const overdue = calibrationOverdue(rig, firedAt);
  const edges = gateEdges(state, rig, record);
  const time = timeBase(state, rig, firing);
  const { found, screening, reduction, pairs } = reduceEdges(
    edges.map((edge) => edge.timed),
    rig,
    air,
    time,
  );
  const shotEdges = [...triggerEdges(state, rig, record), ...edges.map((edge, i) => verdictOn(edge, i, found, screening))];
  const told = results(reduction);
  const acceptance = acceptanceOf(rig, told, { pairs, air });
  return {
    id: `${state.sessionId}-${String(record.number).padStart(3, '0')}`,
    sessionId: state.sessionId,
    number: record.number,
    rigName: rig.name,
    projectile: rig.projectile.name,
    firedAtNs,
    firedAt,
    firedBy: firing.by,
    edges: shotEdges.sort((a, b) => a.timeS - b.timeS),
    ...passagesOf(screening, rig, time),
    pairs: pairs.map((pair) => ({ ...pair, velocityMps: toResult(pair.velocityMps, 'm/s') })),
    ...told,
    ...(acceptance ? { acceptance } : {}),
    air: shotAir(latched, air),
    ...(latched.reservoirTemperatureK ? { reservoirTemperatureK: latched.reservoirTemperatureK } : {}),
    ...(latched.reservoirPressurePa ? { reservoirPressurePa: latched.reservoirPressurePa } : {}),
    ...(latched.barrelPressurePa ? { barrelPressurePa: latched.barrelPressurePa } : {}),
    traces: record.kept ? unpacked(record.kept.traces) : tracesAround(state, rig, firing, latched.airPressurePa.value),
    ...(record.weighed ? { weighed: { ...record.weighed, insteadOf: massOf(given) } } : {}),
    flags: flagsOf({ state, rig, record, firedAtNs, latched, air, screening, reduction, pairs, shotEdges, calibrationOverdue: overdue }),
    ...(overdue.length > 0 ? { calibrationOverdue: overdue } : {}),
  };
}

/** The rig with this shot's own projectile. */
function weighedRig(rig: Rig, { weighed }: ShotRecord): Rig {
  if (!weighed) return rig;
  const massKg = { value: weighed.valueKg, standardUncertainty: weighed.standardUncertaintyKg };
  return { ...rig, projectile: { ...rig.projectile, massKg } };
}

export const massOf = ({ projectile: { massKg } }: Rig): Mass => ({
  valueKg: massKg.value,
  standardUncertaintyKg: massKg.standardUncertainty,
});

function timeBase(state: PipelineState, rig: Rig, firing: Firing): TimeBase {
  const board = boardOf(state, firing.board);
  const claim = gateBoard(rig, firing.board)?.tickRateHz;
  const own = board?.clock ? hostNsStandardUncertainty(board.clock, firing.ticks) : 0;
  const atNs = board?.clock ? hostNs(board.clock, firing.ticks) : 0;
  const offsets = gateBoards(rig)
    .filter((setup) => setup.name !== firing.board)
    .map((setup) => {
      const clock = boardOf(state, setup.name)?.clock;
      // Of both clocks at the firing, not when they were last compared.
      const other = clock ? hostNsStandardUncertainty(clock, clock.referenceTicks + (atNs - clock.referenceNs) / clock.nsPerTick) : 0;
      return [setup.name, Math.hypot(own, other) / 1e9] as const;
    });
  return {
    ...(board?.clock && board.clock.exchangesUsed > 2 ? { rateDegreesOfFreedom: board.clock.exchangesUsed - 2 } : {}),
    rateStandardUncertainty: board?.clock?.rateStandardUncertainty ?? (claim ? claim.standardUncertainty / claim.value : 0),
    tickS: nsPerTick(board, rig, firing.board) / 1e9,
    offsetStandardUncertaintyS: Object.fromEntries(offsets),
    firingBoard: firing.board,
  };
}

type FlightResults = Pick<
  Shot,
  | 'muzzleVelocityMps'
  | 'targetVelocityMps'
  | 'velocityLostMps'
  | 'muzzleEnergyJ'
  | 'targetEnergyJ'
  | 'muzzleMomentumNs'
  | 'targetMomentumNs'
  | 'mach'
  | 'dragCoefficient'
  | 'dragMach'
  | 'dragReynolds'
  | 'flightTimeS'
  | 'targetDropM'
>;

function results(reduction: Reduction | undefined): FlightResults {
  if (!reduction) return {};
  const { drag } = reduction;
  return {
    muzzleVelocityMps: toResult(reduction.muzzleVelocityMps, 'm/s'),
    targetVelocityMps: toResult(reduction.targetVelocityMps, 'm/s'),
    velocityLostMps: toResult(reduction.velocityLostMps, 'm/s'),
    muzzleEnergyJ: toResult(reduction.muzzleEnergyJ, 'J'),
    targetEnergyJ: toResult(reduction.targetEnergyJ, 'J'),
    muzzleMomentumNs: toResult(reduction.muzzleMomentumNs, 'N s'),
    targetMomentumNs: toResult(reduction.targetMomentumNs, 'N s'),
    mach: toResult(reduction.mach, '1'),
    dragCoefficient: toResult(drag.coefficient, '1'),
    dragMach: toResult(drag.mach, '1'),
    dragReynolds: toResult(drag.reynolds, '1'),
    flightTimeS: toResult(reduction.flightTimeS, 's'),
    targetDropM: toResult(reduction.targetDropM, 'm'),
  };
}

function shotAir(latched: LatchedState, air: AirEstimates): ShotAir {
  return {
    temperatureK: latched.airTemperatureK,
    pressurePa: latched.airPressurePa,
    relativeHumidity: latched.airHumidity,
    tailwindMps: latched.tailwindMps,
    speedOfSoundMps: toResult(air.speedOfSoundMps, 'm/s'),
    densityKgM3: toResult(air.densityKgM3, 'kg/m³'),
  };
}
