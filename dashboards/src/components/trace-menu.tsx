import { drawChart } from '../../../host/charts/index.ts';
import { type TraceNamed, traceNow } from '../charts/trace-now.ts';
import { ChartTable } from './chart-table.tsx';
import { SavePicture } from './save-picture.tsx';

const FILE = { widthPx: 960, frameHeightPx: 460, id: 'saved' };

/** Behind the scrolling traces: each as it stands now, in numbers and as a file. */
export function TraceMenu({ traces }: { readonly traces: readonly TraceNamed[] }) {
  return (
    <details class="trace-menu">
      <summary aria-label="Save or read the traces">Save</summary>
      <div class="trace-menu-body">
        {traces.map((trace) => (
          <div key={trace.channel} class="picture-foot">
            <b>{trace.name}</b>
            <SavePicture
              title={trace.name}
              drawing={() => {
                const chart = traceNow(trace);
                return chart && drawChart(chart, FILE);
              }}
            />
            <ChartTable chart={() => traceNow(trace)} />
          </div>
        ))}
      </div>
    </details>
  );
}
