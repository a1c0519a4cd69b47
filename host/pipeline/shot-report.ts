/** Everything that is said of a shot, from what has been gathered of it so far. */
import type { GatePassage, PairVelocity, Shot, ShotAir, ShotEdge, ShotFlag } from '../../protocol/index.ts';
import type { Gate, Rig } from '../rig/index.ts';
import { type AirEstimates, estimateAir } from './air.ts';
import { type LatchedState, latch } from './latch.ts';
import { type FoundPassage, findPassages, type TimedEdge } from './occlusions.ts';
import { expectedDecayPerM, type Reduction, reduce, reducePair, type TimeBase, type TimedPassage } from './reduction.ts';
import { toResult } from './result.ts';
import type { BoardEdge, OpenShot, PipelineState } from './state.ts';
import { firedNsOf, nsPerTick, secondsBetween, utcText } from './time.ts';
import { tracesAround } from './traces.ts';

/** A pressure older than this at the firing is no longer the pressure fired with. */
const PRESSURE_STALE_S = 0.5;
/** Edges that reach the host so late after the firing were fetched from the board's memory. */
const LATE_NS = 2e9;
/** Fewer exchanges than this give an offset but no rate of their own. */
const EXCHANGES_MIN = 2;

export function describeShot(state: PipelineState, rig: Rig, open: OpenShot): Shot {
  const board = state.boards[open.board];
  const firedAtNs = firedNsOf(board, open.firedTicks, open.openedAtNs);
  const latched = latch(state, rig, firedAtNs);
  const air = estimateAir(latched);
  const edges = gateEdges(state, rig, open);
  const timed = edges.map((edge) => edge.timed);
  const ball = { diameterM: rig.projectile.diameterM.value, decayPerM: expectedDecayPerM(rig, air) };
  const found = findPassages(timed, rig.gates, ball);
  const passages = found.map(
    (passage): TimedPassage => ({ gate: gateAt(rig, passage.gateIndex), timeS: passage.timeS, occlusionS: passage.occlusionS }),
  );
  const time = timeBase(state, rig, open.board);
  const reduction = reduce(passages, rig, air, time);
  const pairs = pairVelocities(rig, passages, time);
  const shotEdges = [...triggerEdges(state, rig, open), ...edges.map((edge, i) => verdictOn(edge, i, found))];
  return {
    id: `${state.sessionId}-${String(open.number).padStart(3, '0')}`,
    sessionId: state.sessionId,
    number: open.number,
    rigName: rig.name,
    projectile: rig.projectile.name,
    firedAtNs,
    firedAt: utcText(state.utc, firedAtNs),
    firedBy: open.firedBy,
    edges: shotEdges.sort((a, b) => a.timeS - b.timeS),
    passages: passages.map((passage, i) => asPassage(passage, reduction?.residualsS[i])),
    pairs,
    ...results(reduction),
    air: shotAir(latched, air),
    ...(latched.reservoirPressurePa ? { reservoirPressurePa: latched.reservoirPressurePa } : {}),
    ...(latched.barrelPressurePa ? { barrelPressurePa: latched.barrelPressurePa } : {}),
    traces: tracesAround(state, rig, open, latched.airPressurePa.value),
    flags: flagsOf({ state, rig, open, firedAtNs, latched, air, found, reduction, pairs, shotEdges }),
  };
}

interface GateEdge {
  readonly edge: BoardEdge;
  readonly gate: Gate;
  readonly timed: TimedEdge;
}

const gateAt = (rig: Rig, index: number): Gate => rig.gates[index] as Gate;

/** In time order, detector delay taken off. */
function gateEdges(state: PipelineState, rig: Rig, open: OpenShot): readonly GateEdge[] {
  const fired = { board: open.board, ticks: open.firedTicks };
  const edges = open.edges.flatMap((edge): GateEdge[] => {
    const gateIndex = rig.gates.findIndex((gate) => gate.board === edge.board && gate.input === edge.input);
    const gate = rig.gates[gateIndex];
    if (!gate) return [];
    return [{ edge, gate, timed: { gateIndex, active: edge.active, timeS: secondsBetween(state, rig, fired, edge) - gate.delayS.value } }];
  });
  return edges.sort((a, b) => a.timed.timeS - b.timed.timeS);
}

function triggerEdges(state: PipelineState, rig: Rig, open: OpenShot): readonly ShotEdge[] {
  const fired = { board: open.board, ticks: open.firedTicks };
  return open.edges
    .filter((edge) => rig.trigger?.board === edge.board && rig.trigger.input === edge.input)
    .map((edge) => ({
      gate: 'trigger',
      active: edge.active,
      ticks: edge.ticks,
      timeS: secondsBetween(state, rig, fired, edge),
      verdict: 'used',
      reason: '',
    }));
}

function verdictOn({ edge, gate, timed }: GateEdge, index: number, found: readonly FoundPassage[]): ShotEdge {
  const base = { gate: gate.name, active: edge.active, ticks: edge.ticks, timeS: timed.timeS };
  const passage = found.find((p) => p.gateIndex === timed.gateIndex);
  if (passage && (passage.leadingIndex === index || passage.trailingIndex === index)) return { ...base, verdict: 'used', reason: '' };
  return { ...base, verdict: 'rejected', reason: reasonFor(index, timed.timeS, passage, found.length > 0) };
}

function reasonFor(index: number, timeS: number, passage: FoundPassage | undefined, flightFound: boolean): string {
  if (!flightFound) return 'no flight found among the edges';
  if (timeS < 0) return 'before the firing';
  if (!passage) return 'does not fit the flight that the other gates saw';
  if (index < passage.leadingIndex) return 'ahead of the projectile';
  if (passage.trailingIndex !== undefined && index < passage.trailingIndex) return 'repeated while the projectile was in the beam';
  return 'behind the projectile';
}

function timeBase(state: PipelineState, rig: Rig, firingBoard: string): TimeBase {
  const board = state.boards[firingBoard];
  const claim = rig.boards.find((setup) => setup.name === firingBoard)?.tickRateHz;
  const offsets = rig.boards
    .filter((setup) => setup.name !== firingBoard)
    .map((setup) => {
      const own = board?.clock?.offsetStandardUncertaintyNs ?? 0;
      const other = state.boards[setup.name]?.clock?.offsetStandardUncertaintyNs ?? 0;
      return [setup.name, Math.hypot(own, other) / 1e9] as const;
    });
  return {
    rateStandardUncertainty: board?.clock?.rateStandardUncertainty ?? (claim ? claim.standardUncertainty / claim.value : 0),
    tickS: nsPerTick(board, rig, firingBoard) / 1e9,
    offsetStandardUncertaintyS: Object.fromEntries(offsets),
    firingBoard,
  };
}

function pairVelocities(rig: Rig, passages: readonly TimedPassage[], time: TimeBase): readonly PairVelocity[] {
  const names = [...new Set(rig.gates.map((gate) => gate.pair))];
  return names.flatMap((name): PairVelocity[] => {
    const [from, to] = passages.filter((passage) => passage.gate.pair === name);
    if (!from || !to) return [];
    const pair = reducePair(name, from, to, time);
    return [{ name, gates: pair.gates, positionM: pair.positionM, velocityMps: toResult(pair.velocityMps, 'm/s') }];
  });
}

function asPassage(passage: TimedPassage, residualS: number | undefined): GatePassage {
  return {
    gate: passage.gate.name,
    pair: passage.gate.pair,
    positionM: passage.gate.positionM.value,
    timeS: passage.timeS,
    ...(passage.occlusionS === undefined ? {} : { occlusionS: passage.occlusionS }),
    ...(residualS === undefined ? {} : { residualS }),
  };
}

function results(
  reduction: Reduction | undefined,
): Partial<Pick<Shot, 'muzzleVelocityMps' | 'targetVelocityMps' | 'mach' | 'dragCoefficient'>> {
  if (!reduction) return {};
  return {
    muzzleVelocityMps: toResult(reduction.muzzleVelocityMps, 'm/s'),
    targetVelocityMps: toResult(reduction.targetVelocityMps, 'm/s'),
    mach: toResult(reduction.mach, '1'),
    dragCoefficient: toResult(reduction.dragCoefficient, '1'),
  };
}

function shotAir(latched: LatchedState, air: AirEstimates): ShotAir {
  return {
    temperatureK: latched.airTemperatureK,
    pressurePa: latched.airPressurePa,
    relativeHumidity: latched.airHumidity,
    speedOfSoundMps: toResult(air.speedOfSoundMps, 'm/s'),
    densityKgM3: toResult(air.densityKgM3, 'kg/m³'),
  };
}

function flagsOf(of: {
  readonly state: PipelineState;
  readonly rig: Rig;
  readonly open: OpenShot;
  readonly firedAtNs: number;
  readonly latched: LatchedState;
  readonly air: AirEstimates;
  readonly found: readonly FoundPassage[];
  readonly reduction: Reduction | undefined;
  readonly pairs: readonly PairVelocity[];
  readonly shotEdges: readonly ShotEdge[];
}): readonly ShotFlag[] {
  const { state, rig, open, latched, found, reduction, pairs } = of;
  const board = state.boards[open.board];
  const { airTemperatureK, airPressurePa, airHumidity, reservoirPressurePa, barrelPressurePa } = latched;
  const has = (role: string) => rig.channels.some((channel) => channel.role === role);
  const candidates: readonly (readonly [boolean, ShotFlag])[] = [
    [rig.trigger !== undefined && open.firedBy !== 'trigger', 'no-trigger'],
    [reduction === undefined, 'no-velocity'],
    [reduction !== undefined && found.length < rig.gates.length, 'gate-missed'],
    [reduction !== undefined && pairs.length < 2, 'single-pair'],
    [of.shotEdges.some((edge) => edge.verdict === 'rejected'), 'edges-rejected'],
    [found.some((passage) => passage.trailingIndex === undefined), 'leading-edge-only'],
    [reduction !== undefined && !reduction.fits, 'poor-fit'],
    [[airTemperatureK, airPressurePa, airHumidity].some((value) => value.origin === 'assumed'), 'air-assumed'],
    [latched.airIsStale, 'air-stale'],
    [!of.air.insideRange, 'air-outside-formula-range'],
    [reservoirPressurePa === undefined, 'reservoir-missing'],
    [(reservoirPressurePa?.ageS ?? 0) > PRESSURE_STALE_S, 'reservoir-stale'],
    [has('barrelPressure') && barrelPressurePa === undefined, 'barrel-missing'],
    [(barrelPressurePa?.ageS ?? 0) > PRESSURE_STALE_S, 'barrel-stale'],
    [(board?.clock?.exchangesUsed ?? 0) < EXCHANGES_MIN, 'clock-not-fitted'],
    [(board?.edgesLost ?? 0) > open.edgesLostBefore, 'edges-lost-on-board'],
    [open.openedAtNs - of.firedAtNs > LATE_NS, 'fetched-late'],
  ];
  return candidates.flatMap(([applies, flag]) => (applies ? [flag] : []));
}
