/** The hold points: the list that the crew goes through. No interlock. */
import { holdPoints } from '../state/crew.ts';
import { rig } from '../state/live-state.ts';
import { holdOrder } from '../text/hold-order.ts';
import { HoldPointRow } from './hold-point-row.tsx';
import { OperatorBar } from './operator-bar.tsx';

export function HoldPoints() {
  const told = holdPoints.value;
  const { nextId, aheadOf } = holdOrder(told?.points ?? []);
  const named = rig.value?.holdPoints ?? [];
  return (
    <section class="panel hold-panel" id="hold" aria-labelledby="hold-title">
      <h2 id="hold-title">Hold points</h2>
      {named.length === 0 && !told && <p class="empty">The rig file names no hold points.</p>}
      {told && (
        <ol class="hold-list">
          {told.points.map((point) => (
            <HoldPointRow key={point.id} point={point} isNext={point.id === nextId} aheadOf={aheadOf.get(point.id) ?? []} />
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
