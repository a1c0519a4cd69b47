/** The pressures around a firing, as the board sampled them. */
import type { ChannelRole, PressureTrace } from '../../protocol/index.ts';
import { type Channel, gateBoard, type Rig } from '../rig/index.ts';
import type { SampleBlock } from './channel-history.ts';
import { channelOf } from './latch.ts';
import { VALUES_A_PASCAL } from './packed-traces.ts';
import { readingOf } from './reading-of.ts';
import type { Firing, PipelineState } from './state.ts';
import { boardOf, nsPerTick, secondsBetween } from './time.ts';

const ROLES: readonly ChannelRole[] = ['reservoirPressure', 'barrelPressure'];
const SLOW_WINDOW_S = { from: -0.5, to: 1 };
const BURST_WINDOW_S = { from: -0.1, to: 0.5 };

/** One trace a run of blocks; a gap in the samples starts a new one. */
export function tracesAround(state: PipelineState, rig: Rig, firing: Firing, ambientPa: number): readonly PressureTrace[] {
  return ROLES.flatMap((role) => {
    const channel = channelOf(rig, role);
    const history = state.channels[role];
    // What is timed by its arrival is no evenly spaced trace.
    if (!channel || !history || !gateBoard(rig, channel.board)) return [];
    return [
      ...joined(state, rig, firing, channel, history.slow, SLOW_WINDOW_S, ambientPa),
      ...joined(state, rig, firing, channel, history.burst, BURST_WINDOW_S, ambientPa),
    ];
  });
}

function joined(
  state: PipelineState,
  rig: Rig,
  firing: Firing,
  channel: Channel,
  blocks: readonly SampleBlock[],
  window: { readonly from: number; readonly to: number },
  ambientPa: number,
): readonly PressureTrace[] {
  const tickS = nsPerTick(boardOf(state, channel.board), rig, channel.board) / 1e9;
  const offsetPa = channel.reference === 'gauge' ? ambientPa : 0;
  const traces: { stream: 'slow' | 'burst'; fromS: number; periodS: number; endS: number; valuesPa: number[] }[] = [];
  for (const block of blocks) {
    const fromS = secondsBetween(state, rig, firing, { board: channel.board, ticks: block.ticks });
    const periodS = block.periodTicks * tickS;
    const endS = fromS + periodS * block.counts.length;
    if (endS < window.from || fromS > window.to || !Number.isFinite(fromS)) continue;
    const pressuresPa = block.counts.map((count) => readingOf(state, channel, count).si + offsetPa);
    const values = pressuresPa.map((pa) => Math.round(pa * VALUES_A_PASCAL) / VALUES_A_PASCAL);
    const last = traces.at(-1);
    if (last && Math.abs(fromS - last.endS) < periodS / 2 && Math.abs(periodS / last.periodS - 1) < 1e-3) {
      last.valuesPa.push(...values);
      last.endS = endS;
    } else {
      traces.push({ stream: block.stream, fromS, periodS, endS, valuesPa: values });
    }
  }
  return traces.map(({ stream, fromS, periodS, valuesPa }) => ({ channel: channel.name, stream, fromS, periodS, valuesPa }));
}
