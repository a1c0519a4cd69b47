/** The shot that is shown: the newest, or the one chosen. */

import { useEffect } from 'preact/hooks';
import { askRigOf, rigOf } from '../state/rigs.ts';
import { chosenId, fetching, fetchWhole, followNewest, measuringId, shots, shown } from '../state/shots.ts';
import { Acceptance } from './acceptance.tsx';
import { BudgetTables } from './budget-tables.tsx';
import { GateTable } from './gate-table.tsx';
import { RangeDrawing } from './range-drawing.tsx';
import { ShotFigures } from './shot-figures.tsx';
import { ShotFlags } from './shot-flags.tsx';
import { ShotHeadline } from './shot-headline.tsx';
import { ShotPressures } from './shot-pressures.tsx';
import { ShotSurprise } from './shot-surprise.tsx';
import { ShotVelocities } from './shot-velocities.tsx';

export function ShotCard() {
  const shot = shown.value;
  const sessionId = shot?.sessionId;
  useEffect(() => {
    if (sessionId !== undefined) void askRigOf(sessionId);
  }, [sessionId]);
  const rig = sessionId === undefined ? undefined : rigOf(sessionId);
  return (
    <section class="panel shot" aria-labelledby="shot-title">
      <ChosenNotice />
      {shot ? (
        <>
          <ShotHeadline shot={shot} />
          <div class="shot-columns">
            <div>
              <ShotSurprise shot={shot} />
              <ShotFlags shot={shot} isMeasuring={shot.id === measuringId.value} />
              <Acceptance shot={shot} />
              <ShotFigures shot={shot} />
            </div>
            <div>
              {rig && <RangeDrawing shot={shot} rig={rig} id="shot-range" />}
              <ShotPressures shot={shot} />
              {rig && <ShotVelocities shot={shot} rig={rig} />}
            </div>
          </div>
          <GateTable shot={shot} />
          <BudgetTables shot={shot} />
        </>
      ) : (
        <>
          <h2 id="shot-title">Shot</h2>
          <p class="empty">{chosenId.value === undefined ? 'No shot in this session yet.' : 'That shot is not on this page yet.'}</p>
        </>
      )}
    </section>
  );
}

/** Where another than the newest is shown, or one cannot be had. */
function ChosenNotice() {
  const id = chosenId.value;
  const newest = shots.value[0];
  const problem = fetching.value;
  return (
    <>
      {problem?.state === 'failed' && (
        <p class="notice">
          This shot could not be fetched: {problem.message}.{' '}
          <button type="button" onClick={() => void fetchWhole(problem.id)}>
            Try again
          </button>
        </p>
      )}
      {id !== undefined && newest && newest.id !== id && (
        <p class="notice">
          An earlier shot is shown. The newest is shot {newest.number}.{' '}
          <button type="button" onClick={followNewest}>
            Follow the newest
          </button>
        </p>
      )}
    </>
  );
}
