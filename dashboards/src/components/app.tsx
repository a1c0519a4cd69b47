import { ActStatus } from './act-status.tsx';
import { AimPanel } from './aim-panel.tsx';
import { AlarmStrip } from './alarm-strip.tsx';
import { AlarmVoice } from './alarm-voice.tsx';
import { Announcer } from './announcer.tsx';
import { BoardPanel } from './board-panel.tsx';
import { Caution } from './caution.tsx';
import { ChannelPanel } from './channel-panel.tsx';
import { FillPanel } from './fill-panel.tsx';
import { HoldPoints } from './hold-points.tsx';
import { LinkSigns } from './link-signs.tsx';
import { NotesPanel } from './notes-panel.tsx';
import { ReplayBar } from './replay-bar.tsx';
import { RigComparisonPanel } from './rig-comparison.tsx';
import { RigProblems } from './rig-problems.tsx';
import { ShotCard } from './shot-card.tsx';
import { ShotTable } from './shot-table.tsx';
import { Signs } from './signs.tsx';
import { TitleBlock } from './title-block.tsx';
import { TracePanel } from './trace-panel.tsx';
import { VacuumPanel } from './vacuum-panel.tsx';
import { WeatherPanel } from './weather-panel.tsx';

/** The live page. */
export function App() {
  return (
    <>
      <TitleBlock />
      <ReplayBar />
      <LinkSigns />
      <AlarmStrip />
      <RigProblems />
      <main>
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
      </main>
      <Caution />
      <ActStatus />
      <Announcer />
      <AlarmVoice />
    </>
  );
}
