import type { ChannelNow } from '../state/channel-now.ts';
import { HEALTH_WORD } from '../text/health-words.ts';

/** Why a watch has nothing to say. */
export function WatchTrouble({ what, now }: { readonly what: string; readonly now: ChannelNow }) {
  if (now.health === 'healthy' || now.health === 'waiting') return <p class="empty">{what} is not watched yet.</p>;
  return (
    <p class="trouble">
      <strong>
        {what} is not followed: its transducer is {HEALTH_WORD[now.health].toLowerCase()}.
      </strong>{' '}
      {now.trouble}
    </p>
  );
}
