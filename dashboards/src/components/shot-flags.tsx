import type { ShotFlag } from '../../../protocol/index.ts';
import { FLAG_TEXT } from '../text/flags.ts';

/** What the reader must know before trusting the shot. */
export function ShotFlags({ flags, isMeasuring }: { readonly flags: readonly ShotFlag[]; readonly isMeasuring: boolean }) {
  if (isMeasuring) return <p class="no-flags">Being measured; flags follow.</p>;
  if (flags.length === 0) return <p class="no-flags">No flags.</p>;
  return (
    <ul class="flags" aria-label="Flags">
      {flags.map((flag) => (
        <li key={flag}>
          <strong>{FLAG_TEXT[flag].title}.</strong> {FLAG_TEXT[flag].meaning}
        </li>
      ))}
    </ul>
  );
}
