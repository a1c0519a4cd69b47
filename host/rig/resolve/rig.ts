import type { FieldReader, Report } from '../fields.ts';
import type { AssumedAir, Gate, Rig } from '../rig.ts';
import type { RigShape } from '../schema/rig.ts';
import { resolveTimeSeries } from '../time-series.ts';
import { resolveAcceptance, resolveAgreement, resolveCameraAgreement } from './acceptance.ts';
import { resolveBoards } from './boards.ts';
import { resolveCameras } from './cameras.ts';
import { resolveChannel } from './channel.ts';
import { resolveLimits } from './limits.ts';
import { resolveFill, resolveHoldPoints, resolveVacuum } from './watches.ts';

/** The rig in SI, gates in the file's order. Values that were reported as problems are NaN. */
export function resolveRig(shape: RigShape, fields: FieldReader, report: Report): Rig {
  const { projectile, reservoir, barrel, trigger, fill, vacuum, timeSeries } = shape;
  const boards = resolveBoards(shape.boards, fields, report);
  const channels = Object.entries(shape.channels).map(([name, channel]) => {
    const board = boards.find((candidate) => candidate.name === channel.board);
    return resolveChannel(name, channel, board, fields, report);
  });
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
      ...(reservoir.reliefSetting === undefined
        ? {}
        : { reliefSettingPaGauge: fields.pressureOf(['reservoir', 'reliefSetting'], reservoir.reliefSetting, 'gauge', 'forbidden').value }),
    },
    barrel: {
      boreM: fields.plain(['barrel', 'bore'], barrel.bore, 'length', 'positive'),
      lengthM: fields.plain(['barrel', 'length'], barrel.length, 'length', 'positive'),
    },
    targetPositionM: fields.uncertain(['target'], shape.target, 'length', 'positive'),
    tapeRelativeStandardUncertainty: fields.spread(['tape'], shape.tape, 'ratio', undefined),
    sidewaysStandardUncertaintyM: fields.spread(['sideways'], shape.sideways, 'length', undefined),
    tailwindMps: fields.uncertain(['tailwind'], shape.tailwind, 'speed', 'any'),
    boards,
    ...(trigger === undefined ? {} : { trigger }),
    gates: shape.gates.map((gate, i) => resolveGate(gate, i, fields)),
    channels,
    limits: resolveLimits(shape.limits, channels, fields, report),
    ...(fill === undefined ? {} : { fill: resolveFill(fill, fields) }),
    ...(vacuum === undefined ? {} : { vacuum: resolveVacuum(vacuum, fields) }),
    holdPoints: resolveHoldPoints(shape.holdPoints, report),
    cameras: resolveCameras(shape.cameras, fields),
    acceptance: resolveAcceptance(shape.acceptance, fields, report),
    cameraAgreement: resolveCameraAgreement(shape.cameraAgreement, fields, report),
    ...(shape.agreement === undefined ? {} : { agreement: resolveAgreement(shape.agreement, fields, report) }),
    assumedAir: resolveAir(shape.assumedAir, fields),
    airStaleAfterS: fields.plain(['assumedAir', 'staleAfter'], shape.assumedAir.staleAfter, 'time', 'positive'),
    ...(timeSeries === undefined
      ? {}
      : { timeSeries: resolveTimeSeries(timeSeries, (path, message, at) => report(['timeSeries', ...path], message, at)) }),
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
    squarenessStandardUncertaintyRad: fields.spread(['gates', index, 'squareness'], gate.squareness, 'angle', undefined),
  };
}

function resolveAir(air: RigShape['assumedAir'], fields: FieldReader): AssumedAir {
  return {
    temperatureK: fields.uncertain(['assumedAir', 'temperature'], air.temperature, 'temperature', 'positive'),
    pressurePa: fields.pressureOf(['assumedAir', 'pressure'], air.pressure, 'absolute', 'required'),
    relativeHumidity: fields.uncertain(['assumedAir', 'humidity'], air.humidity, 'ratio', 'not negative'),
  };
}
