import { TraceChart } from '../charts/trace-chart.tsx';
import { rig } from '../state/live-state.ts';
import { windowS } from '../state/preferences.ts';
import { shownTraces } from '../state/shown-traces.ts';
import { barrelChannel, kindOf, plainName } from '../text/channel-kind.ts';
import { ChosenTraceCharts } from './chosen-trace-charts.tsx';
import { Segmented } from './segmented.tsx';
import { TraceMenu } from './trace-menu.tsx';

const WINDOWS = [
  { value: '60', label: '1 min' },
  { value: '120', label: '2 min' },
  { value: '300', label: '5 min' },
  { value: '600', label: '10 min' },
] as const;

/** A little above any ambient pressure: this trace is for the vacuum; the peak of a firing is in the shot. */
const BARREL_CEILING_PA = 120e3;

/** The scrolling pressures. */
export function TracePanel() {
  return (
    <section class="panel traces" aria-labelledby="traces-title">
      <div class="panel-head">
        <h2 id="traces-title">Pressures</h2>
        <Segmented
          legend="Time shown"
          name="window"
          options={WINDOWS}
          value={String(windowS.value) as (typeof WINDOWS)[number]['value']}
          onChoose={(value) => (windowS.value = Number(value))}
        />
      </div>
      <TraceChart channel="reservoirPressure" name="Reservoir" kind="pressure" leastSpanSi={20_000} heightPx={232} />
      <TraceChart
        channel={barrelChannel(rig.value)}
        name="Barrel"
        kind="vacuum"
        leastSpanSi={1_000}
        ceilingSi={BARREL_CEILING_PA}
        heightPx={200}
      />
      <ChosenTraceCharts />
      <TraceMenu
        traces={[
          { channel: 'reservoirPressure', name: 'Reservoir pressure', kind: 'pressure', isPressure: true },
          { channel: barrelChannel(rig.value), name: 'Barrel pressure', kind: 'vacuum', isPressure: true },
          ...shownTraces().map((channel) => ({
            ...{ channel: channel.name, name: plainName(channel.name), kind: kindOf(channel) },
            isPressure: channel.measures === 'pressure',
          })),
        ]}
      />
    </section>
  );
}
