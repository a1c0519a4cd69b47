/** The session from end to end: where the replay is, how far the journal has been read, and where its shots are. */
import { useState } from 'preact/hooks';
import type { ReplayState } from '../../../protocol/index.ts';
import { ageTick, sessionNowNs } from '../state/page-clock.ts';
import { ReplaySlider } from './replay-slider.tsx';

export interface ReplayTimeLineProps {
  readonly state: ReplayState;
  /** It shows, and does not move anything. */
  readonly isFixed: boolean;
}

export function ReplayTimeLine({ state, isFixed }: ReplayTimeLineProps) {
  ageTick.value;
  /** s; while a hand has it. */
  const [held, setHeld] = useState<number>();
  const endS = Math.max(1, state.endNs / 1e9);
  const atS = held ?? (state.seekingNs ?? sessionNowNs()) / 1e9;
  const share = (ns: number): string => `${(100 * ns) / 1e9 / endS}%`;
  return (
    <div class="replay-line">
      <ReplaySlider state={state} atS={atS} isFixed={isFixed} onHeld={setHeld} />
      <svg class="replay-marks" aria-hidden="true">
        <rect class="read" x="0" y="6" width={share(state.readToNs)} height="4" />
        {state.shots.map(({ id, firedAtNs }) => (
          <line key={id} x1={share(firedAtNs)} x2={share(firedAtNs)} y1="0" y2="16" />
        ))}
      </svg>
    </div>
  );
}
