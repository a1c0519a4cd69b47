/** Further channels that scroll below the two pressures, each to be taken away again, and the choice of one more. */
import { TraceChart } from '../charts/trace-chart.tsx';
import { addTrace, CHOSEN_TRACES_MAX, chosenTraces, removeTrace } from '../state/chosen-traces.ts';
import { rig } from '../state/live-state.ts';
import { shownTraces, standingTraces } from '../state/shown-traces.ts';
import { kindOf, plainName } from '../text/channel-kind.ts';

/** Of a channel's range: what hardly moves is not blown up beyond it. */
const LEAST_SHARE_OF_RANGE = 0.01;

export function ChosenTraceCharts() {
  const channels = rig.value?.channels ?? [];
  const standing = standingTraces();
  const shown = shownTraces();
  const others = channels.filter((channel) => !standing.has(channel.name) && !shown.includes(channel));
  return (
    <>
      {shown.map((channel) => {
        const [from, to] = channel.rangeSi ?? [0, 0];
        return (
          <TraceChart
            key={channel.name}
            channel={channel.name}
            name={plainName(channel.name)}
            kind={kindOf(channel)}
            isPressure={channel.measures === 'pressure'}
            leastSpanSi={(to - from) * LEAST_SHARE_OF_RANGE}
            heightPx={150}
            onRemove={() => removeTrace(channel.name)}
          />
        );
      })}
      {others.length > 0 && chosenTraces.value.length < CHOSEN_TRACES_MAX && (
        <label class="add-trace">
          One more trace{' '}
          <select
            value=""
            onChange={(event) => {
              addTrace(event.currentTarget.value);
              event.currentTarget.value = '';
            }}
          >
            <option value="">choose a channel</option>
            {others.map(({ name }) => (
              <option key={name} value={name}>
                {plainName(name)}
              </option>
            ))}
          </select>
        </label>
      )}
    </>
  );
}
