/** Everything that is said of a shot, from what has been gathered of it so far. */
import type { GatePassage, PairVelocity, Shot, ShotAir, ShotEdge, ShotFlag } from '../../protocol/index.ts';
import { hostNs, hostNsStandardUncertainty, standardUncertainty } from '../metrology/index.ts';
import { constantPressureBoundMps, drivingGas, fastestPossibleMps, isothermalBoundMps } from '../physics/index.ts';
import type { Gate, Rig } from '../rig/index.ts';
import { type AirEstimates, estimateAir } from './air.ts';
import { expectedDecayPerM } from './flight-model.ts';
import type { TimeBase } from './gate-timing.ts';
import { latch } from './latch.ts';
import type { LatchedState } from './latched-state.ts';
import { type FoundPassage, findPassages, type TimedEdge } from './occlusions.ts';
import { type GateFit, type Reduction, reduceFit, reducePair } from './reduction.ts';
import { toResult } from './result.ts';
import { chordM, type ScreenedPassage, type Screening, screen } from './screening.ts';
import type { BoardEdge, Firing, KeptSurroundings, PipelineState, ShotRecord } from './state.ts';
import { boardOf, edgesLost, firedNsOf, nsPerTick, secondsBetween, utcText } from './time.ts';
import { tracesAround } from './traces.ts';

/** A pressure older than this at the firing is no longer the pressure fired with. */
const PRESSURE_STALE_S = 0.5;
/** Edges that reach the host so late after the firing were fetched from the board's memory. */
const LATE_NS = 2e9;
/** Fewer exchanges than this give an offset but no rate of their own. */
const EXCHANGES_MIN = 2;
/** In radii. */
const FAR_OFF_SHARE = 0.5;
/** A reservoir filled in a hurry is warmer than the air, by less than a tenth of its absolute temperature. */
const WARM_GAS = 1.1;

/** What surrounds a shot and may be gone later: undefined where the reservoir's pressure is not at hand (yet). */
export function surroundingsOf(state: PipelineState, rig: Rig, record: ShotRecord): KeptSurroundings | undefined {
  const latched = latch(state, rig, firedNs(state, record));
  const { reservoirPressurePa } = latched;
  if (!reservoirPressurePa || reservoirPressurePa.ageS > PRESSURE_STALE_S) return undefined;
  return { latched, traces: tracesAround(state, rig, record.firing, latched.airPressurePa.value) };
}

const firedNs = (state: PipelineState, { firing, openedAtNs }: ShotRecord): number =>
  firedNsOf(boardOf(state, firing.board), firing.ticks, openedAtNs);

export function describeShot(state: PipelineState, rig: Rig, record: ShotRecord): Shot {
  const { firing } = record;
  const firedAtNs = firedNs(state, record);
  const latched = record.kept?.latched ?? latch(state, rig, firedAtNs);
  const air = estimateAir(latched);
  const edges = gateEdges(state, rig, record);
  const timed = edges.map((edge) => edge.timed);
  const ball = { diameterM: rig.projectile.diameterM.value, decayPerM: expectedDecayPerM(rig, air) };
  const found = findPassages(timed, rig.gates, ball);
  const time = timeBase(state, rig, firing);
  const screening = screen(
    found.map((passage) => withEnds(passage, rig, timed)),
    timed,
    rig,
    air,
    time,
  );
  const reduction = screening.fit && reduceFit(screening.fit, rig);
  const pairs = pairVelocities(rig, screening, time, ball.decayPerM);
  const shotEdges = [...triggerEdges(state, rig, record), ...edges.map((edge, i) => verdictOn(edge, i, found, screening))];
  return {
    id: `${state.sessionId}-${String(record.number).padStart(3, '0')}`,
    sessionId: state.sessionId,
    number: record.number,
    rigName: rig.name,
    projectile: rig.projectile.name,
    firedAtNs,
    firedAt: utcText(state.utc, firedAtNs),
    firedBy: firing.by,
    edges: shotEdges.sort((a, b) => a.timeS - b.timeS),
    passages: screening.passages.map((passage, i) => asPassage(passage, i, screening.fit, rig)),
    pairs,
    ...results(reduction),
    air: shotAir(latched, air),
    ...(latched.reservoirPressurePa ? { reservoirPressurePa: latched.reservoirPressurePa } : {}),
    ...(latched.barrelPressurePa ? { barrelPressurePa: latched.barrelPressurePa } : {}),
    traces: record.kept?.traces ?? tracesAround(state, rig, firing, latched.airPressurePa.value),
    flags: flagsOf({ state, rig, record, firedAtNs, latched, air, screening, reduction, pairs, shotEdges }),
  };
}

interface GateEdge {
  readonly edge: BoardEdge;
  readonly gate: Gate;
  readonly timed: TimedEdge;
}

const gateAt = (rig: Rig, index: number): Gate => rig.gates[index] as Gate;

/** In time order, detector delay taken off. */
function gateEdges(state: PipelineState, rig: Rig, { firing, edges: all }: ShotRecord): readonly GateEdge[] {
  const edges = all.flatMap((edge): GateEdge[] => {
    const gateIndex = rig.gates.findIndex((gate) => gate.board === edge.board && gate.input === edge.input);
    const gate = rig.gates[gateIndex];
    if (!gate) return [];
    return [{ edge, gate, timed: { gateIndex, active: edge.active, timeS: secondsBetween(state, rig, firing, edge) - gate.delayS.value } }];
  });
  return edges.sort((a, b) => a.timed.timeS - b.timed.timeS);
}

function triggerEdges(state: PipelineState, rig: Rig, { firing, edges }: ShotRecord): readonly ShotEdge[] {
  return edges
    .filter((edge) => rig.trigger?.board === edge.board && rig.trigger.input === edge.input)
    .map((edge) => ({
      gate: 'trigger',
      active: edge.active,
      ticks: edge.ticks,
      timeS: secondsBetween(state, rig, firing, edge),
      verdict: 'used',
      reason: '',
    }));
}

/** The passage with the edges it came from, so that the screening can give one of them up. */
function withEnds(passage: FoundPassage, rig: Rig, timed: readonly TimedEdge[]): ScreenedPassage {
  const end = (index: number | undefined) => (index === undefined ? undefined : { index, timeS: (timed[index] as TimedEdge).timeS });
  return {
    gate: gateAt(rig, passage.gateIndex),
    gateIndex: passage.gateIndex,
    timeS: passage.timeS,
    occlusionS: passage.occlusionS,
    ambiguityS: 0,
    leading: end(passage.leadingIndex),
    trailing: end(passage.trailingIndex),
  };
}

function verdictOn({ edge, gate, timed }: GateEdge, index: number, found: readonly FoundPassage[], screening: Screening): ShotEdge {
  const base = { gate: gate.name, active: edge.active, ticks: edge.ticks, timeS: timed.timeS };
  const screened = screening.reasons.get(index);
  if (screened !== undefined) return { ...base, verdict: 'rejected', reason: screened };
  const passage = found.find((p) => p.gateIndex === timed.gateIndex);
  if (passage && (passage.leadingIndex === index || passage.trailingIndex === index)) return { ...base, verdict: 'used', reason: '' };
  return { ...base, verdict: 'rejected', reason: reasonFor(index, timed.timeS, passage, found.length > 0) };
}

function reasonFor(index: number, timeS: number, passage: FoundPassage | undefined, flightFound: boolean): string {
  if (!flightFound) return 'no flight found among the edges';
  if (timeS < 0) return 'before the firing';
  if (!passage) return 'does not fit the flight that the other gates saw';
  if (index < (passage.leadingIndex ?? passage.trailingIndex ?? index)) return 'ahead of the projectile';
  if (passage.trailingIndex !== undefined && index < passage.trailingIndex) return 'repeated while the projectile was in the beam';
  return 'behind the projectile';
}

function timeBase(state: PipelineState, rig: Rig, firing: Firing): TimeBase {
  const board = boardOf(state, firing.board);
  const claim = rig.boards.find((setup) => setup.name === firing.board)?.tickRateHz;
  const own = board?.clock ? hostNsStandardUncertainty(board.clock, firing.ticks) : 0;
  const atNs = board?.clock ? hostNs(board.clock, firing.ticks) : 0;
  const offsets = rig.boards
    .filter((setup) => setup.name !== firing.board)
    .map((setup) => {
      const clock = boardOf(state, setup.name)?.clock;
      // Of both clocks at the firing, not when they were last compared.
      const other = clock ? hostNsStandardUncertainty(clock, clock.referenceTicks + (atNs - clock.referenceNs) / clock.nsPerTick) : 0;
      return [setup.name, Math.hypot(own, other) / 1e9] as const;
    });
  return {
    rateStandardUncertainty: board?.clock?.rateStandardUncertainty ?? (claim ? claim.standardUncertainty / claim.value : 0),
    tickS: nsPerTick(board, rig, firing.board) / 1e9,
    offsetStandardUncertaintyS: Object.fromEntries(offsets),
    firingBoard: firing.board,
  };
}

function pairVelocities(
  rig: Rig,
  screening: Screening,
  time: TimeBase,
  decayPerM: (velocityMps: number) => number,
): readonly PairVelocity[] {
  const names = [...new Set(rig.gates.map((gate) => gate.pair))];
  return names.flatMap((name): PairVelocity[] => {
    const [from, to] = screening.passages.filter((passage) => passage.gate.pair === name);
    if (!from || !to) return [];
    const meanMps = (to.gate.positionM.value - from.gate.positionM.value) / (to.timeS - from.timeS);
    if (!(meanMps > 0 && Number.isFinite(meanMps))) return [];
    const { gates, positionM, velocityMps, dragCorrectionMps } = reducePair(name, [from, to], time, decayPerM(meanMps));
    return [{ name, gates, positionM, velocityMps: toResult(velocityMps, 'm/s'), dragCorrectionMps }];
  });
}

function asPassage(passage: ScreenedPassage, index: number, fit: GateFit | undefined, rig: Rig): GatePassage {
  const velocityMps = fit?.velocitiesMps[index];
  const chord = velocityMps === undefined ? undefined : chordM(passage, velocityMps);
  const residualS = fit?.fit.residuals[index];
  return {
    gate: passage.gate.name,
    pair: passage.gate.pair,
    positionM: passage.gate.positionM.value,
    timeS: passage.timeS,
    ...(passage.occlusionS === undefined ? {} : { occlusionS: passage.occlusionS }),
    ...(chord === undefined ? {} : { chordM: chord, offAxisM: offAxisM(chord, rig.projectile.diameterM.value) }),
    ...(residualS === undefined ? {} : { residualS }),
  };
}

/** By Pythagoras; 0 where the chord is no shorter than the diameter. */
const offAxisM = (chord: number, diameterM: number): number => Math.sqrt(Math.max(0, diameterM ** 2 - chord ** 2)) / 2;

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
    dragMach: drag.mach,
    dragReynolds: drag.reynolds,
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
  readonly record: ShotRecord;
  readonly firedAtNs: number;
  readonly latched: LatchedState;
  readonly air: AirEstimates;
  readonly screening: Screening;
  readonly reduction: Reduction | undefined;
  readonly pairs: readonly PairVelocity[];
  readonly shotEdges: readonly ShotEdge[];
}): readonly ShotFlag[] {
  const { state, rig, record, latched, screening, reduction, pairs } = of;
  const { passages } = screening;
  const { firing, openedAtNs, edgesLostBefore } = record;
  const board = boardOf(state, firing.board);
  const { airTemperatureK, airPressurePa, airHumidity, reservoirPressurePa, barrelPressurePa } = latched;
  const has = (role: string) => rig.channels.some((channel) => channel.role === role);
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
    [reduction !== undefined && !reduction.drag.resolved, 'drag-not-resolved'],
    [reduction !== undefined && isImpossible(reduction, latched, rig), 'faster-than-possible'],
    [[airTemperatureK, airPressurePa, airHumidity].some((value) => value.origin === 'assumed'), 'air-assumed'],
    [latched.airIsStale, 'air-stale'],
    [!of.air.insideRange, 'air-outside-formula-range'],
    [reservoirPressurePa === undefined, 'reservoir-missing'],
    [(reservoirPressurePa?.ageS ?? 0) > PRESSURE_STALE_S, 'reservoir-stale'],
    [has('barrelPressure') && barrelPressurePa === undefined, 'barrel-missing'],
    [(barrelPressurePa?.ageS ?? 0) > PRESSURE_STALE_S, 'barrel-stale'],
    [(board?.clock?.exchangesUsed ?? 0) < EXCHANGES_MIN, 'clock-not-fitted'],
    [edgesLost(state) > edgesLostBefore, 'edges-lost-on-board'],
    [openedAtNs - of.firedAtNs > LATE_NS, 'fetched-late'],
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
