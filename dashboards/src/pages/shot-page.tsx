import { NewestShot } from '../components/newest-shot.tsx';
import { RigComparisonPanel } from '../components/rig-comparison.tsx';
import { ShotCard } from '../components/shot-card.tsx';
import { ShotTable } from '../components/shot-table.tsx';

/** The newest shot, big enough to be read from where the crew stand, and all that is known of it. */
export function ShotPage() {
  return (
    <>
      <NewestShot />
      <ShotCard />
      <RigComparisonPanel />
      <ShotTable />
    </>
  );
}
