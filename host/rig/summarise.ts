import type { ChannelSummary, RigSummary } from '../../protocol/index.ts';
import type { Channel } from './channel.ts';
import { conversionRange } from './conversion.ts';
import { limitsOf } from './limits.ts';
import type { Rig } from './rig.ts';

/**
 * What a page needs to draw the range. Ranges of channels are absolute there, as all samples in events are: to what is
 * stated as gauge the assumed pressure of the air is added. Limits and targets stay as they are stated.
 */
export function summarise(rig: Rig): RigSummary {
  const ambientPa = rig.assumedAir.pressurePa.value;
  return {
    name: rig.name,
    site: rig.site,
    projectile: {
      name: rig.projectile.name,
      diameterM: rig.projectile.diameterM.value,
      massKg: rig.projectile.massKg.value,
    },
    claims: {
      diameterM: rig.projectile.diameterM.standardUncertainty,
      massKg: rig.projectile.massKg.standardUncertainty,
      tape: rig.tapeRelativeStandardUncertainty,
      sidewaysM: rig.sidewaysStandardUncertaintyM,
    },
    barrelLengthM: rig.barrel.lengthM,
    reservoirRatedPaGauge: rig.reservoir.ratedPressurePaGauge,
    launcher: {
      gas: rig.reservoir.gas,
      reservoirVolumeM3: rig.reservoir.volumeM3,
      maximumFillPaGauge: rig.reservoir.maximumFillPaGauge,
      boreM: rig.barrel.boreM,
      barrelLengthM: rig.barrel.lengthM,
    },
    targetPositionM: rig.targetPositionM.value,
    gates: rig.gates.map(({ name, pair, board, input, positionM }) => ({ name, pair, board, input, positionM: positionM.value })),
    channels: rig.channels.map((channel) => summariseChannel(channel, ambientPa)),
    boards: rig.boards.map(({ name, kind }) => ({ name, kind })),
    limits: limitsOf(rig),
    ...(rig.fill === undefined ? {} : { fill: rig.fill }),
    ...(rig.vacuum === undefined ? {} : { vacuum: rig.vacuum }),
    holdPoints: rig.holdPoints,
    ...(rig.cameras.length === 0 ? {} : { cameras: rig.cameras }),
    acceptance: rig.acceptance,
    ...(rig.agreement === undefined ? {} : { agreement: rig.agreement }),
    ...(rig.cameraAgreement.length === 0 ? {} : { cameraAgreement: rig.cameraAgreement }),
  };
}

function summariseChannel(channel: Channel, ambientPa: number): ChannelSummary {
  const { name, measures, unit, board, reference, standardUncertaintySi, calibratedOn, calibrationDue } = channel;
  const added = reference === 'gauge' ? ambientPa : 0;
  const range = conversionRange(channel.conversion);
  return {
    name,
    measures,
    unit,
    board,
    reference,
    expandedUncertaintySi: 2 * standardUncertaintySi,
    ...(range === undefined ? {} : { rangeSi: [range[0] + added, range[1] + added] as const }),
    ...(calibratedOn === undefined ? {} : { calibratedOn }),
    ...(calibrationDue === undefined ? {} : { calibrationDue }),
  };
}
