import type { ChannelSummary, RigSummary } from '../../protocol/index.ts';
import type { Channel, Rig } from './rig.ts';

/**
 * What a page needs to draw the range. Pressures are absolute there, as all in events are: to what is stated as gauge
 * the assumed pressure of the air is added.
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
    barrelLengthM: rig.barrel.lengthM,
    reservoirRatedPa: rig.reservoir.ratedPressurePaGauge + ambientPa,
    targetPositionM: rig.targetPositionM.value,
    gates: rig.gates.map(({ name, pair, board, input, positionM }) => ({ name, pair, board, input, positionM: positionM.value })),
    channels: rig.channels.map((channel) => summariseChannel(channel, ambientPa)),
    boards: rig.boards.map((board) => board.name),
  };
}

function summariseChannel(channel: Channel, ambientPa: number): ChannelSummary {
  const added = channel.reference === 'gauge' ? ambientPa : 0;
  const [a, b] = channel.calibration.map((point) => point.si + added) as [number, number];
  return { role: channel.role, unit: channel.unit, rangeSi: [Math.min(a, b), Math.max(a, b)] };
}
