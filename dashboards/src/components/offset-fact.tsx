import type { OffsetEvent } from '../../../protocol/index.ts';
import { session } from '../state/live-state.ts';
import { units } from '../state/preferences.ts';
import { offsetWords } from '../text/offset-words.ts';
import { clockText } from '../text/time-text.ts';
import { Fact } from './fact.tsx';

export interface OffsetFactProps {
  /** undefined until the channel was seen open to the air. */
  readonly offset: OffsetEvent | undefined;
  readonly remedy: string;
}

/** The channel's offset as last seen at ambient; a word and a frame, not the colour alone, where it is too large. */
export function OffsetFact({ offset, remedy }: OffsetFactProps) {
  if (!offset) return null;
  const { text, isBeyondClaim } = offsetWords({ offset, remedy, system: units.value });
  return (
    <Fact name="Off zero">
      {isBeyondClaim ? <strong class="off-zero">{text}</strong> : text},{' '}
      {clockText((session.value?.originUtcMs ?? Number.NaN) + offset.atNs / 1e6)}
    </Fact>
  );
}
