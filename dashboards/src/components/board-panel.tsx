/** Links, board clocks and beams. */
import { boards, rig } from '../state/live-state.ts';
import { BoardState } from './board-state.tsx';

export function BoardPanel() {
  const known = boards.value;
  const names = [...new Set([...(rig.value?.boards ?? []).map(({ name }) => name), ...Object.keys(known)])];
  return (
    <section class="panel boards" aria-labelledby="boards-title">
      <h2 id="boards-title">Boards</h2>
      {names.length === 0 && <p>None yet.</p>}
      {names.map((name) => (
        <BoardState key={name} name={name} board={known[name] ?? {}} gates={rig.value?.gates.filter((gate) => gate.board === name) ?? []} />
      ))}
    </section>
  );
}
