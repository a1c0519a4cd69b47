import type { BoardKind, ClockEvent } from '../../../protocol/index.ts';
import { ARRIVAL_EXPANDED_S, clockOffsetText, clockRateText } from '../text/clock-text.ts';
import { Fact } from './fact.tsx';

export interface ClockFactsProps {
  /** undefined until it is fitted, and for ever of a board without a clock of its own. */
  readonly clock: ClockEvent | undefined;
  readonly kind: BoardKind | undefined;
}

/** The board's clock against the host's; or that it has none, and what that does to its time stamps. */
export function ClockFacts({ clock, kind }: ClockFactsProps) {
  if (!clock) {
    if (kind === undefined) return null;
    if (kind === 'gate-board') return <Fact name="Clock">not fitted yet</Fact>;
    return <Fact name="Clock">none of its own: timed when its words arrive at the host, ± {ARRIVAL_EXPANDED_S * 1e3} ms</Fact>;
  }
  const { offsetS, offsetStandardUncertaintyS, rateErrorPpm, rateStandardUncertaintyPpm, roundTripS, exchanges } = clock;
  return (
    <>
      <Fact name="Clock">
        board less host: offset {clockOffsetText(offsetS, 2 * offsetStandardUncertaintyS)}, rate{' '}
        {clockRateText(rateErrorPpm, 2 * rateStandardUncertaintyPpm)}
      </Fact>
      <Fact name="Round trip">
        {(roundTripS * 1e3).toFixed(2)} ms <small>({exchanges} exchanges)</small>
      </Fact>
    </>
  );
}
