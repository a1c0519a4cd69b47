/** A closed shot, its gate pairs, and whether it counts. Each shot has series of its own, by its session and its id. */
import type { Latched, Result, Shot, ShotExcludedEvent } from '../../../protocol/index.ts';
import type { LineTags } from './line.ts';
import { type Point, type PointDialect, pointOf } from './point.ts';

export function shotPoints(shot: Shot, revision: number, tags: LineTags, dialect: PointDialect): readonly Point[] {
  const own = { ...tags, session: shot.sessionId, shot: shot.id };
  const { air, blowDown, flags } = shot;
  const values = {
    number: shot.number,
    revision,
    muzzle_velocity_mps: numberOf(shot.muzzleVelocityMps),
    muzzle_velocity_u_mps: uncertaintyOf(shot.muzzleVelocityMps),
    target_velocity_mps: numberOf(shot.targetVelocityMps),
    target_velocity_u_mps: uncertaintyOf(shot.targetVelocityMps),
    mach: numberOf(shot.mach),
    mach_u: uncertaintyOf(shot.mach),
    drag_coefficient: numberOf(shot.dragCoefficient),
    drag_coefficient_u: uncertaintyOf(shot.dragCoefficient),
    drag_mach: numberOf(shot.dragMach),
    muzzle_energy_j: numberOf(shot.muzzleEnergyJ),
    target_energy_j: numberOf(shot.targetEnergyJ),
    flight_time_s: numberOf(shot.flightTimeS),
    target_drop_m: numberOf(shot.targetDropM),
    reservoir_pressure_pa: numberOf(shot.reservoirPressurePa),
    reservoir_pressure_u_pa: uncertaintyOf(shot.reservoirPressurePa),
    reservoir_temperature_k: numberOf(shot.reservoirTemperatureK),
    barrel_pressure_pa: numberOf(shot.barrelPressurePa),
    barrel_pressure_u_pa: uncertaintyOf(shot.barrelPressurePa),
    energy_drawn_j: numberOf(blowDown?.energyDrawnJ),
    efficiency: numberOf(blowDown?.efficiency),
    air_temperature_k: numberOf(air.temperatureK),
    air_pressure_pa: numberOf(air.pressurePa),
    air_humidity: numberOf(air.relativeHumidity),
    air_density_kg_m3: numberOf(air.densityKgM3),
    speed_of_sound_mps: numberOf(air.speedOfSoundMps),
    tailwind_mps: numberOf(air.tailwindMps),
    flags: flags.length,
    flag_list: flags.join(' '),
    fired_at: shot.firedAt,
    fired_by: shot.firedBy,
    projectile: shot.projectile,
  };
  const pairs = shot.pairs.map(({ name, velocityMps, positionM }) =>
    pointOf(
      'shot_pair',
      { ...own, pair: name },
      { velocity_mps: velocityMps.value, velocity_u_mps: velocityMps.standardUncertainty, position_m: positionM },
      dialect,
    ),
  );
  return [pointOf('shot', own, values, dialect), ...pairs].filter((point) => point !== undefined);
}

export function exclusionPoint(
  { shotId, sessionId, excluded, reason, who }: ShotExcludedEvent,
  own: string,
  tags: LineTags,
  dialect: PointDialect,
): Point | undefined {
  return pointOf(
    'shot_exclusion',
    { ...tags, session: sessionId ?? own, shot: shotId },
    { excluded: excluded ? 1 : 0, reason, who },
    dialect,
  );
}

const numberOf = (result: Result | Latched | undefined): number | undefined => result?.value;
const uncertaintyOf = (result: Result | Latched | undefined): number | undefined => result?.standardUncertainty;
