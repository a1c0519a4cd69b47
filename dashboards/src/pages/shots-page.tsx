import { useEffect } from 'preact/hooks';
import { ComparedShots } from '../components/compared-shots.tsx';
import { ListedShots } from '../components/listed-shots.tsx';
import { OperatorBar } from '../components/operator-bar.tsx';
import { ShotFilters } from '../components/shot-filters.tsx';
import { followChosen } from '../state/chosen-shots.ts';
import { session } from '../state/live-state.ts';
import { followQuestion } from '../state/shot-list.ts';
import { fetchRows } from '../state/shot-rows.ts';

/** All stored shots: found, put in order, laid side by side, noted and left out. */
export function ShotsPage() {
  useEffect(followQuestion, []);
  useEffect(followChosen, []);
  // Made anew with each snapshot: what was missed meanwhile is in the table.
  const now = session.value;
  useEffect(() => {
    void fetchRows();
  }, [now]);
  return (
    <>
      <section class="panel shots-panel" aria-labelledby="shots-title">
        <h2 id="shots-title">Shots</h2>
        <ShotFilters />
        <ListedShots />
      </section>
      <section class="panel compared" id="chosen" aria-labelledby="chosen-title" tabIndex={-1}>
        <h2 id="chosen-title">Chosen shots</h2>
        <OperatorBar />
        <ComparedShots />
      </section>
    </>
  );
}
