import type { LiveBoard, RigSummary } from '../../../protocol/index.ts';
import { isUp, LINK_WORDS } from '../text/link-words.ts';
import { Age } from './age.tsx';
import { BeamLamps } from './beam-lamps.tsx';
import { ClockFacts } from './clock-facts.tsx';
import { WireFacts } from './wire-facts.tsx';

export interface BoardStateProps {
  readonly name: string;
  readonly board: LiveBoard;
  readonly gates: RigSummary['gates'];
}

export function BoardState({ name, board, gates }: BoardStateProps) {
  const { link, wire, clock, inputs } = board;
  const up = isUp(link?.change);
  return (
    <article class="board">
      <h3>
        {name} <span class={`state ${up ? 'up' : 'down'}`}>{link ? LINK_WORDS[link.change] : 'Not seen yet'}</span>
      </h3>
      {link && link.detail !== '' && <p class="detail">{link.detail}</p>}
      <BeamLamps gates={gates} active={up ? inputs?.active : undefined} />
      <dl class="facts">
        {board.board && (
          <div>
            <dt>Board</dt>
            <dd>
              {board.board.boardId}
              {board.board.restarted ? `, restarted (${board.board.resetCause})` : ''}
            </dd>
          </div>
        )}
        {link && (
          <div>
            <dt>Path</dt>
            <dd class="path">{link.path}</dd>
          </div>
        )}
        {wire && (
          <div>
            <dt>Last counters</dt>
            <dd>
              <Age atNs={wire.atNs} before="age " />
            </dd>
          </div>
        )}
        {clock && <ClockFacts clock={clock} />}
        {wire && <WireFacts wire={wire} />}
      </dl>
    </article>
  );
}
