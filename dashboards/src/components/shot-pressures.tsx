import { useEffect } from 'preact/hooks';
import type { Shot } from '../../../protocol/index.ts';
import { ShotChart } from '../charts/shot-chart.tsx';
import { fetching, fetchWhole } from '../state/shots.ts';
import { blowDown } from '../state/watches.ts';

/** The pressures around the firing; fetched first where the page has the shot without them. */
export function ShotPressures({ shot }: { readonly shot: Shot }) {
  const missing = shot.traces.length === 0;
  useEffect(() => {
    if (missing) void fetchWhole(shot.id);
  }, [shot.id, missing]);
  return (
    <>
      <h3>Pressure around the firing</h3>
      {missing ? (
        <p class="empty">{fetching.value?.id === shot.id ? 'Fetching…' : 'No pressure samples were kept for this shot.'}</p>
      ) : (
        <ShotChart shot={shot} heightPx={230} />
      )}
      {blowDown.value?.shotId === shot.id && <p class="detail">{blowDown.value.words}</p>}
    </>
  );
}
