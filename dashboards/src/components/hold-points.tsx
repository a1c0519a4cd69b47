/** The hold points: HOLD with what is missing, or READY; and the list that the crew goes through. No interlock. */
import { connection } from '../state/connection.ts';
import { holdPoints } from '../state/crew.ts';
import { rig } from '../state/live-state.ts';
import { type Verdict, verdictOf } from '../text/hold-verdict.ts';
import { HoldPointRow } from './hold-point-row.tsx';
import { OperatorBar } from './operator-bar.tsx';

export function HoldPoints() {
  const told = holdPoints.value;
  const named = rig.value?.holdPoints ?? [];
  const verdict = verdictOf({ told, namedCount: named.length, isHeard: connection.value === 'connected' });
  return (
    <section class="panel hold-panel" id="hold" aria-labelledby="hold-title">
      <h2 id="hold-title">Hold points</h2>
      {verdict && <VerdictSign verdict={verdict} />}
      {named.length === 0 && !told && <p class="empty">The rig file names no hold points.</p>}
      {told && (
        <ol class="hold-list">
          {told.points.map((point) => (
            <HoldPointRow key={point.id} point={point} />
          ))}
        </ol>
      )}
      <OperatorBar />
      <p class="detail">
        This list is no interlock. It shows what the crew and the instruments said and stops nothing: it neither arms nor fires.
      </p>
    </section>
  );
}

function VerdictSign({ verdict }: { readonly verdict: Verdict }) {
  return (
    <div class={`verdict ${verdict.isReady ? 'is-ready' : 'is-hold'}`} role="status">
      <strong>{verdict.isReady ? 'READY' : 'HOLD'}</strong>
      <p>{verdict.words}</p>
    </div>
  );
}
