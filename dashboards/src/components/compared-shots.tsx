/** The chosen shots side by side: figures, pictures one over the other, and for each what was done to it. */
import {
  type PressureChannel,
  pressureChart,
  pressuresCompared,
  type ShotToDraw,
  shotWindowMs,
  velocityChart,
} from '../../../host/charts/index.ts';
import type { Shot } from '../../../protocol/index.ts';
import { ChartDrawing } from '../charts/chart-drawing.tsx';
import { type ChosenShot, chosenShots } from '../state/chosen-shots.ts';
import { units } from '../state/preferences.ts';
import { rigOf } from '../state/rigs.ts';
import { choose } from '../state/shot-list.ts';
import { shotName } from '../text/shot-name.ts';
import { CHOSEN_MAX } from '../text/shot-question.ts';
import { ComparedFigures } from './compared-figures.tsx';
import { RangeDrawing } from './range-drawing.tsx';
import { ShotEdits } from './shot-edits.tsx';

export function ComparedShots() {
  const chosen = chosenShots.value;
  if (chosen.length === 0) {
    return <p class="empty">Tick one shot above for its notes and history, or up to {CHOSEN_MAX} to lay them side by side.</p>;
  }
  const here = chosen.flatMap(({ shot }) => (shot ? [shot] : []));
  return (
    <>
      <ul class="chosen-list">
        {chosen.map((one) => (
          <ChosenLine key={one.id} one={one} all={here} />
        ))}
      </ul>
      {here.length > 0 && <ComparedFigures shots={here} />}
      <Pictures shots={here} />
      {here.map((shot) => (
        <ShotEdits key={shot.id} shot={shot} name={shotName(shot, here)} isOpen={here.length === 1} />
      ))}
    </>
  );
}

function ChosenLine({ one: { id, shot, problem }, all }: { readonly one: ChosenShot; readonly all: readonly Shot[] }) {
  const name = shot ? shotName(shot, all) : id;
  return (
    <li>
      <span>
        {name}
        {!shot && (problem === undefined ? ': fetching…' : `: ${problem}`)}
      </span>{' '}
      <button type="button" aria-label={`Put ${name} away`} onClick={() => choose(id, false)}>
        ✕
      </button>
    </li>
  );
}

const CHANNELS: readonly PressureChannel[] = ['reservoirPressure', 'barrelPressure'];
const FRAME_PX = 230;

function Pictures({ shots }: { readonly shots: readonly Shot[] }) {
  const system = units.value;
  const drawn: readonly ShotToDraw[] = shots.flatMap((shot) => {
    const rig = rigOf(shot.sessionId);
    return rig ? [{ shot, rig, name: shotName(shot, shots) }] : [];
  });
  const [only] = drawn;
  const alone = drawn.length === 1 ? only : undefined;
  const charts = [
    ...(['place', 'time'] as const).map((over) => ({ id: `velocity-${over}`, chart: velocityChart(drawn, over, system) })),
    ...CHANNELS.map((channel) => ({
      id: channel,
      chart: alone
        ? pressureChart(alone.shot, channel, { system, windowMs: shotWindowMs(alone.shot) })
        : pressuresCompared(drawn, channel, system),
    })),
  ];
  return (
    <>
      {drawn.length < shots.length && <p class="notice">Not every chosen shot’s rig is known here, so not every one is drawn.</p>}
      {alone && <RangeDrawing shot={alone.shot} rig={alone.rig} id="chosen-range" />}
      <div class="pictures">
        {charts.map(
          ({ id, chart }) =>
            chart && (
              <div key={id}>
                <ChartDrawing chart={chart} id={`chosen-${id}`} framePx={FRAME_PX} />
              </div>
            ),
        )}
      </div>
    </>
  );
}
