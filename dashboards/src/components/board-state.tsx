import type { BoardKind, LiveBoard, RigSummary } from '../../../protocol/index.ts';
import { BOARD_KIND_WORDS, isUp, LINK_MEANING, LINK_WORDS } from '../text/link-words.ts';
import { sentence } from '../text/sentence.ts';
import { Age } from './age.tsx';
import { BeamLamps } from './beam-lamps.tsx';
import { ClockFacts } from './clock-facts.tsx';
import { TextLineFacts } from './text-line-facts.tsx';
import { WireFacts } from './wire-facts.tsx';

export interface BoardStateProps {
  readonly name: string;
  /** undefined for one that the rig file no longer names. */
  readonly kind: BoardKind | undefined;
  readonly board: LiveBoard;
  readonly gates: RigSummary['gates'];
}

export function BoardState({ name, kind, board, gates }: BoardStateProps) {
  const { link, wire, clock, inputs } = board;
  const up = isUp(link?.change);
  return (
    <article class="board">
      <h3>
        {name} <span class={`state ${up ? 'up' : 'down'}`}>{link ? LINK_WORDS[link.change] : 'Not seen yet'}</span>
      </h3>
      <p class="detail">
        {kind ? BOARD_KIND_WORDS[kind] : 'Not in the rig file.'}
        {link && !up && ` ${LINK_MEANING[link.change]}`}
        {link && link.detail !== '' && ` ${sentence(link.detail)}`}
      </p>
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
        <ClockFacts clock={clock} kind={kind} />
        {wire && <WireFacts wire={wire} />}
        {board['text-lines'] && <TextLineFacts told={board['text-lines']} />}
      </dl>
    </article>
  );
}
