import { NewestShot } from '../components/newest-shot.tsx';
import { OperatorBar } from '../components/operator-bar.tsx';
import { RigComparisonPanel } from '../components/rig-comparison.tsx';
import { ShotCard } from '../components/shot-card.tsx';
import { ShotEdits } from '../components/shot-edits.tsx';
import { ShotTable } from '../components/shot-table.tsx';
import { shown } from '../state/shots.ts';

/** The newest shot, big enough to be read from where the crew stand, and all that is known of it and can be done to it. */
export function ShotPage() {
  const shot = shown.value;
  return (
    <>
      <NewestShot />
      <ShotCard />
      {shot && (
        <section class="panel" aria-labelledby="edits-title">
          <h2 id="edits-title">What was done to shot {shot.number}</h2>
          <OperatorBar />
          <ShotEdits key={shot.id} shot={shot} name={`shot ${shot.number}`} isOpen={false} />
        </section>
      )}
      <RigComparisonPanel />
      <ShotTable />
    </>
  );
}
