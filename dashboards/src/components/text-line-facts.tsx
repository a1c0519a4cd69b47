import type { TextLinesEvent } from '../../../protocol/index.ts';
import { UNREAD_WORDS } from '../text/unread-words.ts';
import { Age } from './age.tsx';
import { Fact } from './fact.tsx';

/** What came from an instrument that prints lines, and what could not be read of it. */
export function TextLineFacts({ told }: { readonly told: TextLinesEvent }) {
  const { atNs, lines, linesPerS, gaps, unread, lastUnread } = told;
  const reasons = Object.entries(unread).filter(([, count]) => count > 0);
  return (
    <>
      <Fact name="Lines">
        {lines}, {linesPerS.toFixed(1)} a second <Age atNs={atNs} before="(counted " after=" ago)" />
      </Fact>
      <Fact name="Gaps">{gaps === 0 ? 'none' : `${gaps}, each longer than three usual intervals`}</Fact>
      <Fact name="Not read">
        {reasons.length === 0 ? 'none' : reasons.map(([reason, count]) => `${UNREAD_WORDS[reason] ?? reason}: ${count}`).join('; ')}
        {lastUnread !== '' && (
          <span class="last-fault">
            last: <code>{lastUnread}</code>
          </span>
        )}
      </Fact>
    </>
  );
}
