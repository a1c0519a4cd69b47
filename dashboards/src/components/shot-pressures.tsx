import { useEffect } from 'preact/hooks';
import { type PressureChannel, pressureChart, shotWindowMs } from '../../../host/charts/index.ts';
import type { Shot } from '../../../protocol/index.ts';
import { ChartDrawing } from '../charts/chart-drawing.tsx';
import { units } from '../state/preferences.ts';
import { fetching, fetchWhole } from '../state/shots.ts';
import { blowDown } from '../state/watches.ts';

const CHANNELS: readonly PressureChannel[] = ['reservoirPressure', 'barrelPressure'];
const FRAME_PX = 150;

/** The pressures around the firing; fetched first where the page has the shot without them. */
export function ShotPressures({ shot }: { readonly shot: Shot }) {
  const missing = shot.traces.length === 0;
  useEffect(() => {
    if (missing) void fetchWhole(shot.id);
  }, [shot.id, missing]);
  const charts = CHANNELS.flatMap((channel) => {
    const chart = pressureChart(shot, channel, { system: units.value, windowMs: shotWindowMs(shot) });
    return chart ? [{ channel, chart }] : [];
  });
  return (
    <>
      <h3>Pressure around the firing</h3>
      {charts.length === 0 && (
        <p class="empty">{fetching.value?.id === shot.id ? 'Fetching…' : 'No pressure samples were kept for this shot.'}</p>
      )}
      <div class="pictures">
        {charts.map(({ channel, chart }) => (
          <div key={channel}>
            <ChartDrawing chart={chart} id={`shot-${channel}`} framePx={FRAME_PX} />
          </div>
        ))}
      </div>
      {blowDown.value?.shotId === shot.id && <p class="detail">{blowDown.value.words}</p>}
    </>
  );
}
