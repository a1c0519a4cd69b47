import { AlarmStrip } from './alarm-strip.tsx';
import { Announcer } from './announcer.tsx';
import { BoardPanel } from './board-panel.tsx';
import { Caution } from './caution.tsx';
import { PresentNumbers } from './present-numbers.tsx';
import { ShotCard } from './shot-card.tsx';
import { ShotTable } from './shot-table.tsx';
import { TitleBlock } from './title-block.tsx';
import { TracePanel } from './trace-panel.tsx';

/** The live page. */
export function App() {
  return (
    <>
      <TitleBlock />
      <AlarmStrip />
      <main>
        <PresentNumbers />
        <TracePanel />
        <ShotCard />
        <ShotTable />
        <BoardPanel />
      </main>
      <Caution />
      <Announcer />
    </>
  );
}
