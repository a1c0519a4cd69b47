/** Links, board clocks and beams. */
import { boards, rig } from '../state/live-state.ts';
import { boardNames } from '../text/board-names.ts';
import { BoardState } from './board-state.tsx';
import { SeriesLine } from './series-line.tsx';

export function BoardPanel() {
  const known = boards.value;
  const named = rig.value?.boards ?? [];
  const names = boardNames(rig.value, known);
  return (
    <section class="panel boards" id="boards" aria-labelledby="boards-title">
      <h2 id="boards-title">Boards and instruments</h2>
      {names.length === 0 && <p>None yet.</p>}
      <div class="board-cards">
        {names.map((name) => (
          <BoardState
            key={name}
            name={name}
            kind={named.find((board) => board.name === name)?.kind}
            board={known[name] ?? {}}
            gates={rig.value?.gates.filter((gate) => gate.board === name) ?? []}
          />
        ))}
      </div>
      <SeriesLine />
    </section>
  );
}
