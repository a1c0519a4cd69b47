import type { ChannelRole } from '../../protocol/index.ts';
import { resolveChannel } from './channels.ts';
import type { FieldReader, Report } from './fields.ts';
import type { AssumedAir, Gate, Rig } from './rig.ts';
import type { RigShape } from './schema.ts';

const ROLES: readonly ChannelRole[] = ['reservoirPressure', 'barrelPressure', 'airTemperature', 'airPressure', 'airHumidity'];

/** The rig in SI, gates in the file's order. Values that were reported as problems are NaN. */
export function resolveRig(shape: RigShape, fields: FieldReader, report: Report): Rig {
  const { projectile, reservoir, barrel, trigger } = shape;
  return {
    name: shape.name,
    site: shape.site,
    projectile: {
      name: projectile.name,
      diameterM: fields.uncertain(['projectile', 'diameter'], projectile.diameter, 'length', 'positive'),
      massKg: fields.uncertain(['projectile', 'mass'], projectile.mass, 'mass', 'positive'),
    },
    reservoir: {
      gas: reservoir.gas,
      volumeM3: fields.plain(['reservoir', 'volume'], reservoir.volume, 'volume', 'positive'),
      ratedPressurePaGauge: fields.pressureOf(['reservoir', 'ratedPressure'], reservoir.ratedPressure, 'gauge', 'forbidden').value,
      maximumFillPaGauge: fields.pressureOf(['reservoir', 'maximumFill'], reservoir.maximumFill, 'gauge', 'forbidden').value,
    },
    barrel: {
      boreM: fields.plain(['barrel', 'bore'], barrel.bore, 'length', 'positive'),
      lengthM: fields.plain(['barrel', 'length'], barrel.length, 'length', 'positive'),
    },
    targetPositionM: fields.uncertain(['target'], shape.target, 'length', 'positive'),
    tailwindMps: fields.uncertain(['tailwind'], shape.tailwind, 'speed', 'any'),
    boards: Object.entries(shape.boards).map(([name, { tickRate, boardId, ...board }]) => ({
      name,
      ...board,
      ...(boardId === undefined ? {} : { boardId }),
      tickRateHz: fields.uncertain(['boards', name, 'tickRate'], tickRate, 'frequency', 'positive'),
    })),
    ...(trigger === undefined ? {} : { trigger }),
    gates: shape.gates.map((gate, i) => resolveGate(gate, i, fields)),
    channels: ROLES.flatMap((role) => {
      const channel = shape.channels[role];
      return channel === undefined ? [] : [resolveChannel(role, channel, fields, report)];
    }),
    assumedAir: resolveAir(shape.assumedAir, fields),
    airStaleAfterS: fields.plain(['assumedAir', 'staleAfter'], shape.assumedAir.staleAfter, 'time', 'positive'),
  };
}

function resolveGate(gate: RigShape['gates'][number], index: number, fields: FieldReader): Gate {
  const { name, pair, board, input } = gate;
  return {
    name,
    pair,
    board,
    input,
    // Where it may stand is for checks.ts, which can say what it is behind.
    positionM: fields.uncertain(['gates', index, 'position'], gate.position, 'length', 'any'),
    delayS: fields.uncertain(['gates', index, 'delay'], gate.delay, 'time', 'any'),
    jitterS: fields.plain(['gates', index, 'jitter'], gate.jitter, 'time', 'not negative'),
  };
}

function resolveAir(air: RigShape['assumedAir'], fields: FieldReader): AssumedAir {
  return {
    temperatureK: fields.uncertain(['assumedAir', 'temperature'], air.temperature, 'temperature', 'positive'),
    pressurePa: fields.pressureOf(['assumedAir', 'pressure'], air.pressure, 'absolute', 'required'),
    relativeHumidity: fields.uncertain(['assumedAir', 'humidity'], air.humidity, 'ratio', 'not negative'),
  };
}
