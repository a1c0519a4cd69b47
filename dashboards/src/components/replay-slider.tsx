/** The moment of a replay in the hand: shown while it is moved, gone to when it is let go. */
import type { ReplayState } from '../../../protocol/index.ts';
import { command } from '../state/replay.ts';
import { sessionTime } from '../text/session-time.ts';

export interface ReplaySliderProps {
  readonly state: ReplayState;
  /** s of the session. */
  readonly atS: number;
  /** It shows, and does not move anything. */
  readonly isFixed: boolean;
  /** @param atS  undefined once the hand has let go */
  readonly onHeld: (atS: number | undefined) => void;
}

export function ReplaySlider({ state: { endNs }, atS, isFixed, onHeld }: ReplaySliderProps) {
  return (
    <input
      type="range"
      aria-label="Moment of the session"
      aria-valuetext={`${sessionTime(atS * 1e9)} of ${sessionTime(endNs)}`}
      min={0}
      max={Math.ceil(Math.max(1, endNs / 1e9))}
      step={1}
      value={atS}
      disabled={isFixed}
      onInput={(event) => onHeld(event.currentTarget.valueAsNumber)}
      onChange={(event) => {
        onHeld(undefined);
        void command({ do: 'seek', toNs: Math.min(endNs, event.currentTarget.valueAsNumber * 1e9) });
      }}
    />
  );
}
