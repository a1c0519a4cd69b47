/**
 * Which shots make one map: those of one launcher (gas, reservoir, bore, barrel) with one kind of projectile. Another
 * kind may seal and rub otherwise, so it has a map of its own; another mass of the same kind is left to the physics.
 */
import type { LauncherSummary, MapSession, MapSource, RigSummary } from '../../../protocol/index.ts';
import { drivingGas } from '../../physics/index.ts';
import type { Gauge, MapProblem, MapShot } from './map-shot.ts';

export interface MapGroup {
  readonly rigName: string;
  readonly projectile: string;
  readonly gas: string;
  readonly massKg: number;
  readonly problem: MapProblem;
  readonly leftOut: readonly LeftOut[];
}

export interface LeftOut {
  readonly shotId: string;
  readonly why: string;
}

/** How far the gas may be from the air's temperature where nobody measures it, k = 1, K: it cools for minutes after a fill (own judgement). */
const GAS_GUESS_K = 6;
/** Where no gauge reads a barrel, it is taken as open: so far the air in it may be from that outside, k = 1, Pa. */
const OPEN_BARREL_PA = 100;
/** Gauge states that one map can tell apart; older ones count as one. */
const GAUGES_MAX = 6;

interface Candidate {
  readonly shot: MapShot;
  readonly rig: RigSummary;
  readonly ambientPa: number;
  readonly gauges: readonly [reservoir: Gauge, barrel: Gauge];
}

/** @param shots  any order */
export function mapGroups(
  shots: readonly MapSource[],
  sessions: readonly MapSession[],
): { readonly groups: readonly MapGroup[]; readonly without: readonly LeftOut[] } {
  const rigs = new Map(sessions.map(({ id, rig }) => [id, rig]));
  const without: LeftOut[] = [];
  const groups = new Map<string, { readonly rig: RigSummary; readonly taken: Candidate[]; readonly leftOut: LeftOut[] }>();
  for (const source of shots.toSorted((a, b) => (a.firedAt < b.firedAt ? -1 : 1))) {
    const rig = rigs.get(source.sessionId);
    const refusal = refusalOf(rig);
    if (refusal !== '' || !rig?.launcher) {
      without.push({ shotId: source.id, why: refusal });
      continue;
    }
    const key = groupKey(source, rig.launcher);
    const group = groups.get(key) ?? { rig, taken: [], leftOut: [] };
    groups.set(key, group);
    const candidate = candidateOf(source, rig);
    if (typeof candidate === 'string') group.leftOut.push({ shotId: source.id, why: candidate });
    else group.taken.push(candidate);
  }
  return { groups: [...groups.values()].map(groupOf).toReversed(), without };
}

function refusalOf(rig: RigSummary | undefined): string {
  if (!rig) return 'its session is not known here';
  if (!rig.launcher) return 'it was stored before maps were made; "postern rebuild" reads it anew';
  return drivingGas(rig.launcher.gas) ? '' : `nothing is known here of the gas "${rig.launcher.gas}"`;
}

const groupKey = ({ rigName, projectile }: MapSource, launcher: LauncherSummary): string =>
  JSON.stringify([rigName, projectile, launcher.gas, launcher.reservoirVolumeM3, launcher.boreM, launcher.barrelLengthM]);

/** @returns why the map cannot use it */
function candidateOf(source: MapSource, rig: RigSummary): Candidate | string {
  const { muzzleVelocityMps, reservoirPressurePa, barrelPressurePa, reservoirTemperatureK, air, flags } = source;
  if (source.exclusion) return `left out by ${source.exclusion.who}: ${source.exclusion.reason}`;
  if (flags.includes('faster-than-possible')) return 'it is faster than its gas could drive it';
  if (!muzzleVelocityMps || !(muzzleVelocityMps.value > 0)) return 'it has no muzzle velocity';
  if (!reservoirPressurePa) return 'its fill was not measured';
  if (flags.includes('reservoir-stale')) return 'its fill was read too long before the firing';
  if (!(reservoirPressurePa.value > (barrelPressurePa ?? air.pressurePa).value)) return 'its fill is not above the pressure in the barrel';
  const hasBarrelGauge = rig.channels.some(({ name }) => name === 'barrelVacuum' || name === 'barrelPressure');
  if (!barrelPressurePa && hasBarrelGauge) return 'the pressure in its barrel was not measured';
  if (flags.includes('barrel-stale')) return 'the pressure in its barrel was read too long before the firing';
  const reservoir = gaugeOf(rig, 'reservoirPressure');
  const barrel = barrelPressurePa ? barrelGaugeOf(rig, barrelPressurePa.standardUncertainty) : OPEN_BARREL;
  const barrelReading = barrelPressurePa ?? { value: air.pressurePa.value, standardUncertainty: OPEN_BARREL_PA };
  return {
    rig,
    ambientPa: air.pressurePa.value,
    gauges: [reservoir, barrel],
    shot: {
      id: source.id,
      firing: {
        reservoirPressurePa: reservoirPressurePa.value,
        gasTemperatureK: reservoirTemperatureK?.value ?? air.temperatureK.value,
        barrelPressurePa: Math.max(barrelReading.value, 1),
        airTemperatureK: air.temperatureK.value,
        massKg: rig.projectile.massKg,
      },
      readingUncertainty: {
        reservoirPressurePa: beyond(reservoirPressurePa.standardUncertainty, reservoir),
        barrelPressurePa: beyond(barrelReading.standardUncertainty, barrel),
        gasTemperatureK: reservoirTemperatureK?.standardUncertainty ?? Math.hypot(GAS_GUESS_K, air.temperatureK.standardUncertainty),
      },
      muzzleVelocityMps: {
        value: muzzleVelocityMps.value,
        standardUncertainty: Math.max(muzzleVelocityMps.standardUncertainty, 1e-6 * muzzleVelocityMps.value),
      },
      reservoirGauge: reservoir.name,
      barrelGauge: barrel.name,
    },
  };
}

const OPEN_BARREL: Gauge = { name: 'open barrel', standardUncertaintyPa: OPEN_BARREL_PA };

/** Of a reading's uncertainty, what the gauge's own does not explain. */
const beyond = (standardUncertainty: number, { standardUncertaintyPa }: Gauge): number =>
  Math.sqrt(Math.max(standardUncertainty ** 2 - standardUncertaintyPa ** 2, 0));

/** Between two calibrations its error stays what it is. */
function gaugeOf({ channels }: RigSummary, name: string): Gauge {
  const channel = channels.find((one) => one.name === name);
  return {
    name: `${name} of ${channel?.calibratedOn ?? 'an unknown date'}`,
    standardUncertaintyPa: (channel?.expandedUncertaintySi ?? 0) / 2,
  };
}

/** That of the two whose claim is nearest to what the reading was given. */
function barrelGaugeOf(rig: RigSummary, standardUncertaintyPa: number): Gauge {
  const [first, ...others] = ['barrelVacuum', 'barrelPressure']
    .filter((name) => rig.channels.some((channel) => channel.name === name))
    .map((name) => gaugeOf(rig, name));
  if (!first) return OPEN_BARREL;
  const off = (gauge: Gauge): number => Math.abs(gauge.standardUncertaintyPa - standardUncertaintyPa);
  return others.reduce((best, one) => (off(one) < off(best) ? one : best), first);
}

function groupOf({
  rig: firstRig,
  taken,
  leftOut,
}: {
  readonly rig: RigSummary;
  readonly taken: readonly Candidate[];
  readonly leftOut: readonly LeftOut[];
}): MapGroup {
  const newest = taken.at(-1);
  const rig = newest?.rig ?? firstRig;
  const launcher = rig.launcher as LauncherSummary;
  const reservoir = gaugesOf(taken.map(({ gauges }) => gauges[0]));
  const barrel = gaugesOf(taken.map(({ gauges }) => gauges[1]));
  const ambientPressurePa = newest?.ambientPa ?? 101_325;
  return {
    rigName: rig.name,
    projectile: rig.projectile.name,
    gas: launcher.gas,
    massKg: rig.projectile.massKg,
    leftOut,
    problem: {
      setup: {
        gas: drivingGas(launcher.gas) as NonNullable<ReturnType<typeof drivingGas>>,
        reservoirVolumeM3: launcher.reservoirVolumeM3,
        boreM: launcher.boreM,
        barrelLengthM: launcher.barrelLengthM,
      },
      reservoirGauges: reservoir.kept,
      barrelGauges: barrel.kept,
      shots: taken.map(({ shot }) => ({
        ...shot,
        reservoirGauge: reservoir.nameOf(shot.reservoirGauge),
        barrelGauge: barrel.nameOf(shot.barrelGauge),
      })),
      limits: { reservoirPressurePaMax: launcher.maximumFillPaGauge + ambientPressurePa, ambientPressurePa },
    },
  };
}

/** Each once; of more than can be told apart the oldest are taken together, with the largest claim among them. */
function gaugesOf(all: readonly Gauge[]): { readonly kept: readonly Gauge[]; readonly nameOf: (name: string) => string } {
  const once = [...new Map(all.map((gauge) => [gauge.name, gauge])).values()];
  const old = once.slice(0, Math.max(once.length - GAUGES_MAX + 1, 0));
  if (old.length < 2) return { kept: once, nameOf: (name) => name };
  const merged: Gauge = {
    name: 'earlier gauges',
    standardUncertaintyPa: Math.max(...old.map(({ standardUncertaintyPa }) => standardUncertaintyPa)),
  };
  const oldNames = new Set(old.map(({ name }) => name));
  return { kept: [merged, ...once.slice(old.length)], nameOf: (name) => (oldNames.has(name) ? merged.name : name) };
}
