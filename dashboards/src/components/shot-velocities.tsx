import { velocityChart } from '../../../host/charts/index.ts';
import type { RigSummary, Shot } from '../../../protocol/index.ts';
import { ChartDrawing } from '../charts/chart-drawing.tsx';
import { units } from '../state/preferences.ts';

const FRAME_PX = 150;

/** The shot's velocity along the range and over time, with its uncertainty. */
export function ShotVelocities({ shot, rig }: { readonly shot: Shot; readonly rig: RigSummary }) {
  const drawn = [{ shot, rig, name: `shot ${shot.number}` }];
  return (
    <div class="pictures">
      {(['place', 'time'] as const).map((over) => {
        const chart = velocityChart(drawn, over, units.value);
        return (
          chart && (
            <div key={over}>
              <ChartDrawing chart={chart} id={`shot-velocity-${over}`} framePx={FRAME_PX} />
            </div>
          )
        );
      })}
    </div>
  );
}
