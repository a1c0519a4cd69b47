/** Every channel of the rig: what it reads, whether it may be believed, when it was calibrated; and setting it right. */
import { useState } from 'preact/hooks';
import type { ChannelSummary } from '../../../protocol/index.ts';
import { rig } from '../state/live-state.ts';
import { AdjustDialog } from './adjust-dialog.tsx';
import { ChannelRow } from './channel-row.tsx';
import { LimitList } from './limit-list.tsx';

export function ChannelPanel() {
  const channels = rig.value?.channels ?? [];
  const [adjusting, setAdjusting] = useState<ChannelSummary>();
  return (
    <section class="panel channels" id="channels" aria-labelledby="channels-title">
      <h2 id="channels-title">Channels</h2>
      {channels.length === 0 ? (
        <p class="empty">The rig file names none.</p>
      ) : (
        // biome-ignore lint/a11y/noNoninteractiveTabindex: a scrolling region has to be reachable by keyboard
        <section class="scrolling" tabIndex={0} aria-label="All channels">
          <table class="channel-table">
            <thead>
              <tr>
                <th scope="col">Channel</th>
                <th scope="col">Reads now</th>
                <th scope="col">Health</th>
                <th scope="col" class="wide-only">
                  Board
                </th>
                <th scope="col" class="wide-only">
                  Calibration
                </th>
                <th scope="col" class="wide-only">
                  Set right
                </th>
              </tr>
            </thead>
            <tbody>
              {channels.map((channel) => (
                <ChannelRow key={channel.name} channel={channel} onAdjust={() => setAdjusting(channel)} />
              ))}
            </tbody>
          </table>
        </section>
      )}
      <LimitList />
      {adjusting && <AdjustDialog key={adjusting.name} channel={adjusting} onDone={() => setAdjusting(undefined)} />}
    </section>
  );
}
