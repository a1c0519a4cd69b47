/** Which beams are blocked now. Words and shapes say it; colour only helps. */
import type { RigSummary } from '../../../protocol/index.ts';

/** @param active  the board's input bits; undefined where they are not known now */
export function BeamLamps({ gates, active }: { readonly gates: RigSummary['gates']; readonly active: number | undefined }) {
  if (gates.length === 0) return null;
  return (
    <ul class="lamps" aria-label="Beams">
      {gates.map((gate) => {
        const state = active === undefined ? 'unknown' : (active >> gate.input) & 1 ? 'BLOCKED' : 'clear';
        return (
          <li key={gate.name} class={`lamp ${state.toLowerCase()}`}>
            <b>{gate.name}</b> {state}
          </li>
        );
      })}
    </ul>
  );
}
