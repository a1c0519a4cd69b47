/** The machine form of a session's shots, as `--json` gives it. docs/shot.md names every field. */
import type { BlowDown, GatePassage, Latched, Result, Shot, ShotCamera } from '../../../protocol/index.ts';

export interface VelocityJson {
  readonly velocityMps: number;
  readonly standardUncertaintyMps: number;
  readonly expandedUncertaintyMps: number;
}

export function sessionJson(sessionId: string, shots: readonly Shot[]) {
  return { session: sessionId, shots: shots.map(shotJson) };
}

export function shotJson(shot: Shot) {
  return {
    id: shot.id,
    firedAt: shot.firedAt,
    firedBy: shot.firedBy,
    rig: shot.rigName,
    projectile: shot.projectile,
    pairs: shot.pairs.map((pair) => ({ name: pair.name, positionM: pair.positionM, ...velocity(pair.velocityMps) })),
    passages: shot.passages.map(passage),
    rejectedPassages: (shot.rejectedPassages ?? []).map(passage),
    rejectedEdges: shot.edges.flatMap(({ gate, active, timeS, verdict, reason }) =>
      verdict === 'rejected' ? [{ gate, active, timeS, reason }] : [],
    ),
    muzzle: shot.muzzleVelocityMps ? velocity(shot.muzzleVelocityMps) : null,
    target: shot.targetVelocityMps ? velocity(shot.targetVelocityMps) : null,
    mach: plainOrNull(shot.mach),
    dragCoefficient: plainOrNull(shot.dragCoefficient),
    dragMach: plainOrNull(shot.dragMach),
    dragReynolds: plainOrNull(shot.dragReynolds),
    flightTimeS: plainOrNull(shot.flightTimeS),
    targetDropM: plainOrNull(shot.targetDropM),
    velocityLostMps: plainOrNull(shot.velocityLostMps),
    muzzleEnergyJ: plainOrNull(shot.muzzleEnergyJ),
    targetEnergyJ: plainOrNull(shot.targetEnergyJ),
    muzzleMomentumNs: plainOrNull(shot.muzzleMomentumNs),
    targetMomentumNs: plainOrNull(shot.targetMomentumNs),
    air: {
      temperatureK: shot.air.temperatureK.value,
      pressurePa: shot.air.pressurePa.value,
      relativeHumidity: shot.air.relativeHumidity.value,
      tailwindMps: shot.air.tailwindMps.value,
      speedOfSoundMps: shot.air.speedOfSoundMps.value,
      densityKgM3: shot.air.densityKgM3.value,
      origin: [shot.air.temperatureK, shot.air.pressurePa, shot.air.relativeHumidity].some((part) => part.origin === 'assumed')
        ? 'assumed'
        : 'measured',
    },
    ...latched('reservoirPressure', shot.reservoirPressurePa),
    ...latched('barrelPressure', shot.barrelPressurePa),
    blowDown: shot.blowDown ? blowDown(shot.blowDown) : null,
    flags: shot.flags,
    calibrationOverdue: shot.calibrationOverdue ?? [],
    cameras: (shot.cameras ?? []).map(camera),
    acceptance: shot.acceptance ?? null,
    weighed: shot.weighed
      ? {
          massKg: shot.weighed.valueKg,
          standardUncertaintyKg: shot.weighed.standardUncertaintyKg,
          insteadOfKg: shot.weighed.insteadOf.valueKg,
          because: shot.weighed.reason,
          by: shot.weighed.who,
        }
      : null,
    excluded: shot.exclusion ? { because: shot.exclusion.reason, by: shot.exclusion.who } : null,
  };
}

const velocity = (result: Result): VelocityJson => ({
  velocityMps: result.value,
  standardUncertaintyMps: result.standardUncertainty,
  expandedUncertaintyMps: result.expandedUncertainty,
});

const passage = (said: GatePassage) => ({
  gate: said.gate,
  pair: said.pair,
  positionM: said.positionM,
  timeS: said.timeS,
  timeStandardUncertaintyS: said.timeStandardUncertaintyS ?? null,
  residualS: said.residualS ?? null,
  occlusionS: said.occlusionS ?? null,
  chordM: said.chordM ?? null,
  offAxisM: said.offAxisM ?? null,
  occlusionVelocityMps: said.occlusionVelocityMps ?? null,
});

const camera = ({ camera: name, clip, who, check, withdrawal }: ShotCamera) => ({
  camera: name,
  clip,
  who,
  verdict: check?.verdict ?? null,
  words: check?.words ?? null,
  place: check?.place ?? null,
  positionM: check?.positionM ?? null,
  speed: check?.velocityMps ? velocity(check.velocityMps) : null,
  muzzle: check?.datumVelocityMps ? velocity(check.datumVelocityMps) : null,
  differenceMps: check?.differenceMps ?? null,
  enScore: check?.score ?? null,
  blame: check?.blame ?? null,
  withdrawn: withdrawal ? { because: withdrawal.reason, by: withdrawal.who } : null,
});

const blowDown = (found: BlowDown) => ({
  openedAtS: found.openedAtS,
  pressureBeforePa: found.pressureBeforePa,
  pressureAfterPa: found.pressureAfterPa,
  afterAtS: found.afterAtS,
  pressureDropPa: found.pressureDropPa,
  energyDrawnJ: plainOrNull(found.energyDrawnJ),
  efficiency: plainOrNull(found.efficiency),
});

const plainOrNull = (result: Result | undefined) =>
  result === undefined
    ? null
    : { value: result.value, standardUncertainty: result.standardUncertainty, expandedUncertainty: result.expandedUncertainty };

/** Absolute. */
const latched = <N extends string>(name: N, value: Latched | undefined) => ({
  [`${name}Pa`]: value?.value ?? null,
  [`${name}StandardUncertaintyPa`]: value?.standardUncertainty ?? null,
});
