import type { Shot } from '../../../protocol/index.ts';
import { plainName } from '../text/channel-kind.ts';
import { flagText } from '../text/flags.ts';

/** What the reader must know before trusting the shot. */
export function ShotFlags({ shot, isMeasuring }: { readonly shot: Shot; readonly isMeasuring: boolean }) {
  if (isMeasuring) return <p class="no-flags">Being measured; flags follow.</p>;
  if (shot.flags.length === 0) return <p class="no-flags">No flags.</p>;
  const overdue = shot.calibrationOverdue?.map(plainName).join(', ');
  return (
    <ul class="flags" aria-label="Flags">
      {shot.flags.map((flag) => (
        <li key={flag}>
          <strong>{flagText(flag).title}.</strong> {flagText(flag).meaning}
          {flag === 'calibration-overdue' && overdue && ` ${overdue}.`}
        </li>
      ))}
    </ul>
  );
}
