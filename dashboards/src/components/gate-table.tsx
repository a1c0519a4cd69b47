/** What each gate said of the shot. Open by itself where a flag concerns the gates; elsewhere as the reader left it. */

import { signal } from '@preact/signals';
import { useEffect, useState } from 'preact/hooks';
import { formatParts, formatValue, NO_VALUE } from '../../../host/units/index.ts';
import type { Shot } from '../../../protocol/index.ts';
import { rig, session } from '../state/live-state.ts';
import { units } from '../state/preferences.ts';
import { concernsGates, type GateRow, gateRows, residualShare, signed } from '../text/gate-rows.ts';
import { oneLine } from '../text/result-text.ts';
import { ResidualBar } from './residual-bar.tsx';

/** Of shots that give no cause for it. */
const wanted = signal(false);

export function GateTable({ shot }: { readonly shot: Shot }) {
  // A shot of another session may come from another rig.
  const gates = shot.sessionId === session.value?.sessionId ? (rig.value?.gates ?? []) : [];
  const rows = gateRows(shot, gates);
  if (rows.length === 0) return null;
  return <Unfolding key={shot.id} concerned={concernsGates(shot)} rows={rows} />;
}

function Unfolding({ concerned, rows }: { readonly concerned: boolean; readonly rows: readonly GateRow[] }) {
  const [open, setOpen] = useState(concerned || wanted.peek());
  // A shot is told in parts, and the flag may come with a later one.
  useEffect(() => {
    if (concerned) setOpen(true);
  }, [concerned]);
  const toggled = (isOpen: boolean) => {
    setOpen(isOpen);
    if (!concerned) wanted.value = isOpen;
  };
  return (
    <details class="budget" open={open} onToggle={(event) => toggled(event.currentTarget.open)}>
      <summary>What each gate said</summary>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a scrolling region has to be reachable by keyboard */}
      <section class="scrolling gates" tabIndex={0} aria-label="What each gate said">
        <table>
          <thead>
            <tr>
              <th scope="col">Gate</th>
              <th scope="col">Said</th>
              <th scope="col">Residual</th>
              <th scope="col">Chord</th>
              <th scope="col">Off axis</th>
              <th scope="col">By occlusion alone, ± u</th>
              <th scope="col">Passed at</th>
            </tr>
          </thead>
          <tbody>
            {rows.map((row) => (
              <Row key={row.name} row={row} />
            ))}
          </tbody>
        </table>
      </section>
      <p class="note">
        Residual: measured minus fitted time, and how many times the standard uncertainty u (k = 1) of the measured time that is; the band
        is ±u. By occlusion alone: diameter over time blocked, too high for a ball beside the beam’s middle; it has no part in the results.
      </p>
    </details>
  );
}

function Row({ row: { name, positionM, verdict, passage, leftOut } }: { readonly row: GateRow }) {
  const system = units.value;
  const small = (m: number | undefined) => (m === undefined ? NO_VALUE : formatValue(m, 'smallLength', system));
  const alone = passage?.occlusionVelocityMps;
  const share = passage && residualShare(passage);
  return (
    <tr class={verdict === 'used' ? '' : 'amiss'}>
      <th scope="row">
        <b>{name}</b> <small class="figures">{positionM === undefined ? '' : formatValue(positionM, 'length', system)}</small>
      </th>
      <td class="said">
        {verdict}
        {leftOut.map(({ reason, count }) => (
          <span key={reason} class="left-out">
            ✕ {count} {count === 1 ? 'edge' : 'edges'}: {reason}
          </span>
        ))}
      </td>
      <td class="figures">
        {passage?.residualS === undefined || share === undefined ? (
          NO_VALUE
        ) : (
          <div class="residual-and-bar">
            <span>
              {signed(passage.residualS * 1e6, 2)} µs <small>({signed(share, Math.abs(share) < 10 ? 1 : 0)} u)</small>
            </span>
            <ResidualBar share={share} />
          </div>
        )}
      </td>
      <td class="figures">{small(passage?.chordM)}</td>
      <td class="figures">{small(passage?.offAxisM)}</td>
      <td class="figures">{alone ? oneLine(formatParts(alone.value, alone.standardUncertainty, 'velocity', system)) : NO_VALUE}</td>
      <td class="figures">{passage ? formatValue(passage.timeS, 'time', system) : NO_VALUE}</td>
    </tr>
  );
}
