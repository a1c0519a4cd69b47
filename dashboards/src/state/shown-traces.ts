import type { ChannelSummary } from '../../../protocol/index.ts';
import { barrelChannel } from '../text/channel-kind.ts';
import { chosenTraces } from './chosen-traces.ts';
import { rig } from './live-state.ts';

/** The two pressures that always scroll. */
export const standingTraces = (): ReadonlySet<string> => new Set(['reservoirPressure', barrelChannel(rig.value)]);

/** Those that a person chose and that this rig has; one that it does not have stays chosen for the rig that has it. */
export function shownTraces(): readonly ChannelSummary[] {
  const channels = rig.value?.channels ?? [];
  const standing = standingTraces();
  return chosenTraces.value.flatMap((name) => channels.find((channel) => channel.name === name && !standing.has(name)) ?? []);
}
