import { AimPanel } from '../components/aim-panel.tsx';
import { BoardPanel } from '../components/board-panel.tsx';
import { ChannelPanel } from '../components/channel-panel.tsx';
import { FillPanel } from '../components/fill-panel.tsx';
import { HoldPoints } from '../components/hold-points.tsx';
import { NotesPanel } from '../components/notes-panel.tsx';
import { RigComparisonPanel } from '../components/rig-comparison.tsx';
import { ShotCard } from '../components/shot-card.tsx';
import { ShotTable } from '../components/shot-table.tsx';
import { Signs } from '../components/signs.tsx';
import { TracePanel } from '../components/trace-panel.tsx';
import { VacuumPanel } from '../components/vacuum-panel.tsx';
import { WeatherPanel } from '../components/weather-panel.tsx';

/** The whole rig as it is now, from the fill to the shot. */
export function RigPage() {
  return (
    <>
      <Signs />
      <HoldPoints />
      <FillPanel />
      <div class="stack low-and-air">
        <VacuumPanel />
        <WeatherPanel />
      </div>
      <TracePanel />
      <div class="shot-place" id="shot">
        <ShotCard />
        <RigComparisonPanel />
      </div>
      <div class="stack aim-and-notes">
        <AimPanel />
        <NotesPanel />
      </div>
      <ShotTable />
      <ChannelPanel />
      <BoardPanel />
    </>
  );
}
